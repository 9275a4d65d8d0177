"""Problem folders to problems: quantities with their units, tables, and every mistake in one report."""

from allocator.reading.problem import read_problem
from allocator.reading.wire_tables import builtin_table

__all__ = ["builtin_table", "read_problem"]
