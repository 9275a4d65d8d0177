"""Results as files: what each holds, by its name."""

from __future__ import annotations

from collections.abc import Iterable

from allocator.checking import Report
from allocator.layout import Layout
from allocator.pareto_front import Tradeoff
from allocator.problem import Problem
from allocator.reporting.csv_text import csv_text
from allocator.reporting.lists import Build, build_of
from allocator.reporting.lists.sheets import list_files
from allocator.reporting.page import PAGE, page_of
from allocator.reporting.reading_order import whole
from allocator.reporting.records import circuits, wires
from allocator.reporting.text import plain
from allocator.reporting.weak_points import rounded

FILES = (
    "layout.json", "layout.txt", "circuits.csv", "wires.csv", "volts.csv", "margins.csv", "violations.csv",
    "outputs.csv", "trips.csv", "cut-list.csv", "feeds-and-fuses.csv", "splices.csv", "studs.csv",
    "bulkhead-contacts.csv", "bundles.csv", "bundle-heat.csv", "condition-currents.csv", "shopping.csv",
    "assumptions.csv", "lists.xlsx", "page.html",
)  # fmt: skip
"""Names of all that `contents` gives: known before there is a layout."""


def contents(
    problem: Problem, layout: Layout, in_place: Iterable[str] = (), report: Report | None = None
) -> dict[str, str | bytes]:
    """Every file of a result, by file name. Parameters as of `build_of`."""
    build = build_of(problem, layout, in_place, report=report)
    return {**_tables(build, layout), **_lists(build)}


def reported(layout: Layout, build: Build, tradeoff: Tradeoff | None = None) -> dict[str, str | bytes]:
    """Every file that is made of a layout that is there, solved or not: a result of its own, with that layout.

    Of one that breaks rules there are only those files that say so.
    """
    if not build.report.clean:
        return {"layout.json": layout.to_json(), **_lists(build, tradeoff)}
    full = build.layout if layout.totals is None else layout
    return {**_tables(build, full), "layout.json": layout.to_json(), **_lists(build, tradeoff)}


def _tables(build: Build, layout: Layout) -> dict[str, str | bytes]:
    return {
        "layout.json": layout.to_json(),
        "layout.txt": plain(whole(build.problem, layout, in_full=True, context=build.context)),
        "circuits.csv": csv_text(circuits(layout, build.problem)),
        "wires.csv": csv_text(wires(layout)),
        "volts.csv": csv_text(rounded(build.volts.table())),
        "margins.csv": csv_text(rounded(build.margins.wire_table())),
    }


def _lists(build: Build, tradeoff: Tradeoff | None = None) -> dict[str, str | bytes]:
    return {**list_files(build), PAGE: page_of(build, tradeoff)}
