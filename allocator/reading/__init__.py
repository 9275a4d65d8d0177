"""Problem folders to problems: quantities with their units, tables, and every mistake in one report."""

from allocator.reading.problem import is_problem, read_loads_alone, read_problem
from allocator.reading.wire_tables import builtin_table

__all__ = ["builtin_table", "is_problem", "read_loads_alone", "read_problem"]
