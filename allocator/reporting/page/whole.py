"""The whole page: gathers what is known of a layout and fills the template."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from importlib import resources
from typing import TYPE_CHECKING, Any

from allocator.analysis.failures import failures_of
from allocator.checking.checker import check
from allocator.checking.report import Report
from allocator.layout import FEASIBLE, HAND_MADE, OPTIMAL, Layout
from allocator.pareto_front import Tradeoff
from allocator.problem import Problem
from allocator.reporting import totals
from allocator.reporting.blocks import Block, Heading, Paragraph, cell_text, counted, number
from allocator.reporting.cautions import cautions
from allocator.reporting.failing import gone_lines, unfed
from allocator.reporting.lists import Build
from allocator.reporting.loaded import LoadedOutput, loaded_outputs
from allocator.reporting.outputs import feed_line
from allocator.reporting.page import sheets
from allocator.reporting.page.details import About, details
from allocator.reporting.pictures.marks import Marks, over
from allocator.reporting.pictures.plan import Plan, plan
from allocator.reporting.pictures.staircase import staircase
from allocator.reporting.pictures.strips import strip
from allocator.reporting.pictures.svg import svg
from allocator.reporting.proof import proof
from allocator.reporting.records import wires
from allocator.reporting.runs import stretches
from allocator.reporting.tradeoffs import traded_alone
from allocator.reporting.violations import verdict_of
from allocator.reporting.weak_points import margins_listed
from allocator.table import Table

if TYPE_CHECKING:
    from jinja2 import Environment

STATUS = {
    OPTIMAL: "proven optimal",
    FEASIBLE: "feasible, not proven optimal",
    HAND_MADE: "made by hand, nothing proven",
}
NOT_PROVEN = Paragraph("Nothing is proven about a layout that breaks rules, whatever it claims.", "bad")
POINTED_AT = ("unit", "source", "load", "bulkhead")  # with the keyboard too; stretches stand in a table as well
WIDTHS = {"wide": False, "narrow": True}


@dataclass(frozen=True, slots=True)
class UnitPart:
    """One unit on the page: heading, feed, its strip in two widths, its table."""

    id: str
    mark: str
    hue: str
    ink: str
    title: str
    feed: str
    drawings: tuple[tuple[str, str], ...]
    table: Table


def html(problem: Problem, layout: Layout, tradeoff: Tradeoff | None = None) -> str:
    """A layout as one HTML page that needs no network and no other file.

    The layout is checked against every rule first, and violations come first. One made by hand is completed.

    Parameters
    ----------
    tradeoff
        How much copper extra outputs save, shown where it is given.

    Returns
    -------
    str
        The text of an HTML file, to be written as UTF-8. The same layout gives the same page.
    """
    return page_of(Build(problem, check(problem, layout)), tradeoff)


def page_of(build: Build, tradeoff: Tradeoff | None = None) -> str:
    """The same of a layout that has been checked."""
    return templates().get_template("page.html.j2").render(**_parts(build, tradeoff), **_embedded())


def templates() -> Environment:
    """The templates, and how they know blocks apart and read cells."""
    from jinja2 import Environment, PackageLoader, StrictUndefined

    environment = Environment(
        loader=PackageLoader("allocator.reporting.page", "look"),
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=StrictUndefined,
    )
    environment.filters.update(zip=zip, as_read=cell_text)
    environment.tests.update(
        heading=lambda block: isinstance(block, Heading), table=lambda block: isinstance(block, Table)
    )
    return environment


def _parts(build: Build, tradeoff: Tradeoff | None) -> dict[str, Any]:
    """Everything that the template names."""
    problem, report, layout, context = build.problem, build.report, build.layout, build.context
    found, outputs = stretches(context, layout), loaded_outputs(context)
    volts, margins = build.volts, build.margins
    told = details(context, layout, found, outputs, volts.loads, wires(layout).records())
    plans = {name: plan(problem, layout, found, narrow=narrow) for name, narrow in WIDTHS.items()}
    failed = failures_of(context)
    return {
        "problem": problem,
        "layout": layout,
        "status": STATUS.get(layout.status, layout.status) if report.clean else "breaks rules",
        "violations": [] if report.clean else [*verdict_of(report.violations)],
        "proof": [*proof(layout)] if report.clean else [NOT_PROVEN],
        "figures": [*_figures(report)],
        "plans": [(name, _plan_svg(problem, name, plans[name], told)) for name in WIDTHS],
        "node_positions": json.dumps({name: _node_positions(plans[name]) for name in WIDTHS}),
        "plan_notes": [*_plan_notes(plans["wide"])],
        "key": [*_key(problem, layout)],
        "details": told,
        "picks": [(kind, [one for one in told if one.kind == kind]) for kind in ("load", "unit")],
        "units": [*_units(problem, layout, outputs)],
        "currents": _without_heading(totals.currents(problem, layout)),
        "totals": _without_heading(totals.totals(layout)),
        "lists": [
            sheets.circuits(problem, layout),
            sheets.wires(layout, build.beside),
            sheets.feeds(layout, build.beside),
            sheets.volts(volts),
            sheets.stretches(found),
        ],
        "weakest": _without_heading(margins_listed(margins)),
        "margins": sheets.margins(margins),
        "failed": [*(Paragraph(f"* {line}") for line in gone_lines(problem, failed)), *unfed(failed)],
        "failures": sheets.failures(failed),
        "tradeoff": None if tradeoff is None else _without_heading(traded_alone(tradeoff)),
        "staircase": _staircase(tradeoff),
        "energy": _without_heading(totals.energy(problem, layout)),
        "defaults": _without_heading(totals.defaults(layout, None)),
        "cautions": _without_heading(cautions(problem)),
    }


def _embedded() -> dict[str, str]:
    """The page's own style and script, and the libraries whole, with the licences under which they are passed on."""
    home = resources.files("allocator.reporting.page")
    files = {
        "table_style": "vendored/dataTables-2.3.8.min.css",
        "style": "look/page.css",
        "query_script": "vendored/jquery-3.8.0.slim.min.js",
        "table_script": "vendored/dataTables-2.3.8.min.js",
        "script": "look/page.js",
        "table_licence": "vendored/LICENSE-dataTables.txt",
        "query_licence": "vendored/LICENSE-jquery.txt",
    }
    return {name: home.joinpath(path).read_text(encoding="utf-8") for name, path in files.items()}


def _figures(report: Report) -> Iterator[tuple[str, str, str]]:
    """Headline figures: what, how much, and a word more."""
    totals = report.totals
    count = len(report.violations)
    yield "rules broken", f"{count}", "checked against every rule, independently of the solver"
    if totals is None:
        return
    parts = f"{number(totals.branch_copper_g, 0)} g branches, {number(totals.feed_copper_g, 0)} g feeds"
    yield "copper", f"{number(totals.copper_g, 0)} g", parts
    yield "finished wire", f"{number(totals.wire_g, 0)} g", f"{number(totals.length_m, 1)} m in all"
    yield "outputs used", f"{totals.outputs_used}", f"{totals.outputs_spare} spare, {totals.outputs_unused} unused"
    yield "units fitted", f"{totals.units_fitted}", counted(totals.splices, "splice")
    if report.objective_g is not None:
        yield "objective", f"{number(report.objective_g, 1)} g", "copper, with the prices of the problem"


def _without_heading(blocks: Sequence[Block]) -> list[Block]:
    """A part whose heading the page has already."""
    return [block for n, block in enumerate(blocks) if n or not isinstance(block, Heading)]


def _plan_svg(problem: Problem, name: str, drawn: Plan, told: Sequence[About]) -> str:
    by = {(one.kind, one.name): one for one in told}
    named: dict[str, dict[str, str]] = {}
    for gid, what in drawn.named.items():
        if what in by:
            one = by[what]
            named[gid] = {"class": f"thing {one.kind}", "data-about": one.id}
            if one.kind in POINTED_AT:
                named[gid] |= {"tabindex": "0", "role": "button", "aria-label": one.label, "aria-controls": "about"}
    label = f"Plan view of {problem.name}"
    return svg(drawn.drawing, f"plan-{name}", named, role="group", aria_label=label, class_=f"plan {name}")


def _node_positions(drawn: Plan) -> dict[str, dict[str, list[float]]]:
    """Where runs are drawn: places and loads in points of the drawing."""
    return {
        kind: {name: [round(x, 1), round(y, 1)] for name, (x, y) in at.items()}
        for kind, at in (("places", drawn.place_at), ("loads", drawn.load_at))
    }


def _plan_notes(drawn: Plan) -> Iterator[str]:
    where = drawn.node_positions
    if where.points_a_metre is None:
        yield (
            "The places have no coordinates: this drawing is laid out from the network alone, and neither directions "
            "nor lengths are to scale."
        )
        return
    yield "To scale, seen along z, with the axes of places.csv; the view is mirrored where these are left-handed."
    if where.moved_m > 0.05:
        yield (
            "Places that would hide each other are drawn further apart than they are, by up to "
            f"{number(where.moved_m, 1)} m."
        )


def _key(problem: Problem, layout: Layout) -> Iterator[tuple[str, str, str, str]]:
    """Mark, colour, colour of the mark and words for each unit in the plan."""
    marks = Marks(problem, layout)
    for unit in layout.units:
        mark, hue = marks.of_unit(unit.name)
        yield mark, hue, over(hue), f"{unit.name}, at {unit.site}"


def _units(problem: Problem, layout: Layout, outputs: Sequence[LoadedOutput]) -> Iterator[UnitPart]:
    marks = Marks(problem, layout)
    fitted = {unit.name: unit for unit in layout.units}
    for n, unit in enumerate(problem.units):
        own = [one for one in outputs if one.unit == unit.name]
        if not own:
            continue
        mark, hue = marks.of_unit(unit.name)
        title = f"Unit {unit.name} ({unit.type}) at {fitted[unit.name].site}"
        label = f"{title}: current of each output as a share of its rating; the figures stand in the table below"
        drawings = tuple(
            (name, svg(strip(own, problem.conditions, narrow=narrow), f"strip-{n}-{name}", {}, role="img",
                       aria_label=label, class_=f"strip {name}"))
            for name, narrow in WIDTHS.items()
        )  # fmt: skip
        yield UnitPart(
            id=f"outputs-{n}",
            mark=mark,
            hue=hue,
            ink=over(hue),
            title=title,
            feed=feed_line(fitted[unit.name], unit.source),
            drawings=drawings,
            table=sheets.outputs(f"outputs-of-{n}", unit.name, own, problem.conditions),
        )


def _staircase(tradeoff: Tradeoff | None) -> str:
    if tradeoff is None or not tradeoff.points:
        return ""
    label = "Copper over what is counted; the figures stand in the table"
    return svg(staircase(tradeoff), "staircase", {}, role="img", aria_label=label, class_="staircase")
