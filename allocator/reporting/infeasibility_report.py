"""Why no layout is possible, and what would make one: for people and for programs."""

from __future__ import annotations

from typing import Any

from allocator.infeasibility.why_not import Infeasibility
from allocator.layout import INFEASIBLE, NOTHING_FOUND
from allocator.model.limits import KINDS_OF_BUNDLE, many, volts_figure, watts_figure
from allocator.reporting.blocks import Block, Heading, Paragraph, counted
from allocator.reporting.proof import TITLES
from allocator.table import Table, text

_SHORT = (
    text("limit"), text("condition"), text("over", right=True), text("limit is", right=True), text("", whole=True),
)  # fmt: skip

STEP = "Change the problem in one of these ways, or in a better one that you know of, and solve again."
KINDS = {
    "mended": "what rules out every layout by itself",
    "options": "options for the loads that no output can feed",
    "bundles": "cooler bundles",
    "pins": "loads off their pins",
    "seals": "sealed units",
    "sizes": "wire of every size",
    "spares": "less kept spare or in reserve",
    "together": "splitting up loads that belong together",
    "contacts": "contacts and studs of bulkheads",
    "sites": "sites of other units",
    "units": "more units",
    "ratings": "higher ratings of units and banks",
    "feeds": "heavier feeds",
    "outputs": "more outputs",
    "places": "units at any site",
    "fit": "units only if needed",
    "functions": "functions that ask for less",
}
"""Kinds of change that are tried, as they are named where none of them helped."""

PAIR = 2
BUNDLES = (
    "What helps a bundle: a second way beside it (segments.csv, through a place of its own), better insulation there "
    "(column 'insulation'), heavier wire on the shelf, a ground stud at its far end, or a large load fed from the "
    "source ('supply' with 'direct' in loads.csv)."
)
UNKNOWN = (Paragraph("Why, and what would have to change, was not worked out. Run 'allocator explain' for that."),)
UNPROVEN = (
    "These limits are broken by the attempt that breaks them least, not by every layout: with more time there may be "
    "a layout that breaks none."
)
CAUTION = (
    "A way out is a calculation, not a permission: a rating, a drop limit or a function is there for a reason. "
    "Safety margins (output_use, trip, fuse_use, ampacity) are never lowered by a proposal."
)


def why(found: Infeasibility) -> tuple[Block, ...]:
    """Reasons, the least that is lacking, ways out."""
    blocks: list[Block] = [Paragraph(f"* {reason}") for reason in found.reasons]
    if found.faults:
        blocks.append(Paragraph("Each of these alone rules out every layout."))
    if found.shortfalls:
        least = "The smallest shortfall" if found.least else "The smallest shortfall found in the time"
        aside = ", leaving out the loads that no output can feed" if found.unfed else ""
        blocks.append(_lacking(f"{least}{aside}", found))
        if not found.proven and not found.least:
            blocks.append(Paragraph(UNPROVEN))
        if any(one.limit.kind in KINDS_OF_BUNDLE.values() for one in found.shortfalls):
            blocks.append(Paragraph(BUNDLES))
    elif not found.faults:
        blocks.append(Paragraph(found.sentence))
    return (*blocks, *_ways(found))


def _lacking(title: str, found: Infeasibility) -> Table:
    rows = tuple(
        (
            one.limit.name,
            one.limit.condition or "",
            _figure(one.amount, one.limit.unit),
            _figure(one.limit.amount, one.limit.unit),
            many(one.limit.unit),
        )
        for one in found.shortfalls
    )
    return Table(title=title, columns=_SHORT, rows=rows)


def _figure(amount: float, unit: str) -> str:
    """Amperes to a thousandth, heat to a tenth or two digits, volts to two, counts whole."""
    if unit == "V":
        return volts_figure(amount)
    if unit == "W/m":
        return watts_figure(amount)
    return f"{amount:.{3 if unit == 'A' else 0}f}"


def _ways(found: Infeasibility) -> tuple[Block, ...]:
    blocks: list[Block] = []
    if found.ways:
        blocks.append(Heading("Ways out"))
        said = "Each was tried: it gave a layout, and the check found that layout clean."
        blocks.append(Paragraph(f"{counted(len(found.ways), 'way')} out. {said}"))
        blocks += [Paragraph(f"{n}. {way.sentence}") for n, way in enumerate(found.ways, start=1)]
        blocks += [Paragraph(STEP), Paragraph(CAUTION)]
    elif found.vain:
        blocks.append(Paragraph(in_vain(found)))
    if not found.complete and (found.proven or found.shortfalls):
        blocks.append(Paragraph("Stopped before every kind of change was tried. Allow more time with --time-limit."))
    return tuple(blocks)


def in_vain(found: Infeasibility) -> str:
    """Which kinds of change, by themselves and at once, do not let a layout be made."""
    alone = [KINDS[kinds[0]] for kinds in found.vain if len(kinds) == 1]
    pairs = [kinds for kinds in found.vain if len(kinds) == PAIR]
    many_at_once = list(dict.fromkeys(kind for kinds in found.vain if len(kinds) > PAIR for kind in kinds))
    text = "No way out was found. Tried without success:"
    if alone:
        text += f" each by itself, {', '.join(alone)};"
    if pairs:
        text += f" two at once, {counted(len(pairs), 'pair')} of these;"
    if many_at_once:
        text += f" all at once, {', '.join(KINDS[kind] for kind in many_at_once)};"
    return f"{text[:-1]}."


def whole(found: Infeasibility) -> tuple[Block, ...]:
    """What ``explain`` says of a problem without a layout."""
    if not found.proven:
        said = "No layout was found in the time, and it is not proven that there is none."
        return (Heading(f"{found.problem}: {TITLES[NOTHING_FOUND]}"), Paragraph(said, "bad"), *why(found))
    said = (
        "For these inputs no layout is possible: proven. (A verdict of the solver is confirmed without its presolve.)"
    )
    return (Heading(f"{found.problem}: infeasible"), Paragraph(said, "bad"), *why(found))


def record(found: Infeasibility) -> dict[str, Any]:
    """The same for programs."""
    return {
        "status": INFEASIBLE if found.proven else NOTHING_FOUND,
        "sentence": found.sentence,
        "reasons": list(found.reasons),
        "shortfalls": [
            {
                "limit": s.limit.name,
                "condition": s.limit.condition,
                "over": s.amount,
                "amount": s.limit.amount,
                "unit": s.limit.unit,
                "text": s.text,
            }
            for s in found.shortfalls
        ],
        "least": found.least,
        "ways_out": [
            {
                "sentence": way.sentence,
                "verified": way.verified,
                "changes": [
                    {"table": c.table, "row": c.row, "field": c.field, "before": c.before, "after": c.after}
                    for c in way.changes
                ],
            }
            for way in found.ways
        ],
        "tried_in_vain": [list(kinds) for kinds in found.vain],
        "complete": found.complete,
    }
