"""The rules that a layout breaks; an empty list where it breaks none."""

from __future__ import annotations

from allocator.showing.lists.build import Build
from allocator.showing.lists.table import Listing, figure, listing, text

COLUMNS = (text("rule"), text("object"), figure("amount", "", 3), text("unit"), text("what"))


def violations(build: Build) -> Listing:
    """One row per violation, in the order of the rules."""
    rows = ((one.rule, one.object, one.amount, one.unit, one.text) for one in build.report.violations)
    return listing("violations", "Rules that this layout breaks", COLUMNS, rows)
