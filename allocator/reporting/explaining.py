"""Why a load sits where it sits, and the costliest compromises: for people and for programs."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from allocator.explaining.compromises import Compromises
from allocator.explaining.explanation import Explanation
from allocator.explaining.forcing import Force, Forced
from allocator.layout import FEASIBLE, INFEASIBLE
from allocator.problem import Problem
from allocator.reporting.blocks import Block, Heading, Paragraph, counted, listed, number
from allocator.table import Table, count, figure, text

PLACES_SHOWN = 12
NAMES_SHOWN = 5

_PLACES = (
    text("unit"), text("site"), text("class"), count("outputs"), figure("copper", "g", 1), figure("drop", "%"),
    text("", whole=True),
)  # fmt: skip
_ELSEWHERE = (
    text("unit"), text("site"), figure("in all", "g", 1), text("more g", right=True), text("", whole=True),
)  # fmt: skip
_COMPROMISES = (
    text("circuit"), text("fed from"), figure("", "g", 1), text("lightest from"), figure("", "g", 1),
    figure("over", "g", 1),
)  # fmt: skip


def explained(problem: Problem, found: Explanation) -> tuple[Block, ...]:
    """Where the load sits, its options, what the other places come to, what stands against them."""
    circuit = found.circuit
    pins = f"pin{'s' if len(circuit.pins) > 1 else ''} {', '.join(circuit.pins)}"
    where = f"{found.load} is fed from {pins} of unit {circuit.unit} at {found.site}"
    others = [name for name in circuit.loads if name != found.load]
    shared = f", together with {listed(others, NAMES_SHOWN)}" if others else ""
    whole = (
        f"The circuit takes {number(found.copper_g, 1)} g of copper, the layout weighs {number(found.objective_g, 1)} g"
    )
    proven = "proven optimal" if found.proven else "not proven to be the best"
    blocks: list[Block] = [
        Heading(f"{problem.name}: why {found.load} is where it is"),
        Paragraph(f"{where}{shared}. {whole} in the objective ({proven})."),
    ]
    if found.pinned:
        blocks.append(Paragraph("The schedule pins it there; what follows is what the pin keeps it from."))
    return (*blocks, *_options(found), *_others(found), *_left(found))


def _options(found: Explanation) -> tuple[Block, ...]:
    rows = tuple(
        (
            place.unit,
            place.site,
            place.output_class,
            place.outputs,
            place.copper_g,
            place.drop_percent,
            "taken" if place.taken else "" if place.fitted else "not fitted",
        )
        for place in found.places[:PLACES_SHOWN]
    )
    left = len(found.places) - PLACES_SHOWN
    blocks: list[Block] = [Table(title="Each option by itself, in order of copper", columns=_PLACES, rows=rows)]
    if left > 0:
        blocks.append(Paragraph(f"And {counted(left, 'heavier way')}: --json lists all.", "quiet"))
    told = dict.fromkeys(
        f"* {_against(_at(place.unit, place.site), place.against)}." for place in found.places if place.against
    )
    blocks += [Paragraph(text) for text in told]
    return tuple(blocks)


def _others(found: Explanation) -> tuple[Block, ...]:
    if not found.elsewhere:
        return ()
    rows = tuple(
        (
            one.force.unit,
            one.site or one.force.site or "",
            one.objective_g,
            _more(one),
            _status(one),
        )
        for one in found.elsewhere
    )
    table = Table(title="Forced elsewhere, with everything solved again", columns=_ELSEWHERE, rows=rows)
    return (table, *(Paragraph(f"* {_story(one)}") for one in found.elsewhere))


def _status(one: Forced) -> str:
    if one.objective_g is None:
        return "no layout" if one.status == INFEASIBLE else "nothing found"
    return "at most" if one.status == FEASIBLE and one.at_least_g is None else ""


def _more(one: Forced) -> str:
    """By how much the whole is heavier; from what is proven to what was found where that is not the same."""
    if one.more_g is None:
        return ""
    most = f"{one.more_g:+,.1f}"
    return most if one.at_least_g in (None, one.more_g) else f"{one.at_least_g:+,.1f} to {most}"


def _story(one: Forced) -> str:
    """What stands against a place, what the whole is made of there, who has to move."""
    place = _at(one.force.unit, one.site or one.force.site)
    parts = [f"{name} {grams:+,.1f} g" for name, grams in one.parts]
    text = [_against(place, one.against)]
    if one.objective_g is None:
        text.append("then no layout is possible" if one.status == INFEASIBLE else "no layout was found in the time")
    if parts:
        text.append(f"in all {', '.join(parts)}")
    if one.sites:
        text.append(", ".join(f"{unit} goes to {site}" for unit, site in one.sites))
    if one.moved:
        text.append(f"{listed(one.moved, NAMES_SHOWN)} change{'s' if len(one.moved) == 1 else ''} unit")
    return f"{'; '.join(text)}."


def _against(place: str, against: str) -> str:
    """A place and what stands against it, the place said once."""
    if not against or against.startswith(f"{place}:"):
        return against or place
    return f"{place}: {against}"


def _left(found: Explanation) -> tuple[Block, ...]:
    blocks = [Paragraph(f"* Unit {unit} cannot feed it: {why}.") for unit, why in found.refused]
    if found.untried:
        places = ", ".join(_forced(force) for force in found.untried)
        blocks.append(Paragraph(f"Not tried, because time ran out: {places}. Allow more with --time-limit."))
    if not found.known_closely:
        text = "Not every extra weight is known to within a tenth, because time ran out. Allow more with --time-limit"
        blocks.append(Paragraph(f"{text}, or ask for --exact, which has no limit of its own."))
    return tuple(blocks)


def _forced(force: Force) -> str:
    return _at(force.unit, force.site)


def _at(unit: str, site: str | None) -> str:
    return f"unit {unit}" if site is None else f"unit {unit} at {site}"


def costliest(problem: Problem, found: Compromises) -> tuple[Block, ...]:
    """The compromises in a table, then what stands against each."""
    head = Heading(f"{problem.name}: the costliest compromises")
    if not found.found:
        return (head, Paragraph("None: every circuit takes the least copper it can.", "good"))
    rows = tuple(
        (
            c.circuit.name,
            _at(c.circuit.unit, c.site),
            c.copper_g,
            _at(c.nearest_unit, c.nearest_site),
            c.nearest_g,
            c.over_g,
        )
        for c in found.found
    )
    blocks: list[Block] = [head, Table(columns=_COMPROMISES, rows=rows)]
    if found.more:
        blocks.append(Paragraph(f"And {found.more} more, with {number(found.more_g, 1)} g together.", "quiet"))
    blocks.append(Heading("Why not the lightest"))
    return (*blocks, *(Paragraph(f"* {c.circuit.name}: {c.against}.") for c in found.found))


def explained_record(found: Explanation) -> dict[str, Any]:
    """An explanation for programs."""
    return {
        "load": found.load,
        "circuit": {"loads": list(found.circuit.loads), "unit": found.circuit.unit, "pins": list(found.circuit.pins)},
        "site": found.site,
        "copper_g": found.copper_g,
        "objective_g": found.objective_g,
        "proven": found.proven,
        "pinned": found.pinned,
        "places": [asdict(place) for place in found.places],
        "elsewhere": [_forced_record(one) for one in found.elsewhere],
        "refused": [{"unit": unit, "why": why} for unit, why in found.refused],
        "untried": [asdict(force) for force in found.untried],
    }


def _forced_record(one: Forced) -> dict[str, Any]:
    return {
        "unit": one.force.unit,
        "site": one.site or one.force.site,
        "site_forced": one.force.site is not None,
        "status": one.status,
        "objective_g": one.objective_g,
        "more_g": one.more_g,
        "at_least_g": one.at_least_g,
        "parts_g": dict(one.parts),
        "moved": list(one.moved),
        "sites": dict(one.sites),
        "against": one.against,
    }


def costliest_record(found: Compromises) -> dict[str, Any]:
    """Compromises for programs."""
    return {
        "compromises": [
            {
                "circuit": c.circuit.name,
                "unit": c.circuit.unit,
                "site": c.site,
                "copper_g": c.copper_g,
                "nearest_unit": c.nearest_unit,
                "nearest_site": c.nearest_site,
                "nearest_g": c.nearest_g,
                "over_g": c.over_g,
                "against": c.against,
            }
            for c in found.found
        ],
        "more": found.more,
        "more_g": found.more_g,
    }
