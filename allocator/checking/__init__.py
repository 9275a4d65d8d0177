"""The check of a finished layout, apart from everything that made it."""

from allocator.checking.checker import check
from allocator.checking.registry import RULES
from allocator.checking.report import Report, Violation

__all__ = ["RULES", "Report", "Violation", "check"]
