"""The rules that a layout breaks; an empty list where it breaks none."""

from __future__ import annotations

from allocator.checking.report import violation_table
from allocator.reporting.lists.build import Build
from allocator.reporting.lists.listing import listing
from allocator.table import Table


def violations(build: Build) -> Table:
    """One row per violation, in the order of the rules."""
    found = violation_table(build.report.violations)
    return listing("violations", "Rules that this layout breaks", found.columns, found.rows)
