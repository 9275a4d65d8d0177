"""A revision for people and for programs."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import asdict
from typing import Any

from allocator.layout import INFEASIBLE, OPTIMAL, Layout
from allocator.problem import Problem
from allocator.reporting.blocks import Block, Heading, Paragraph, counted, number
from allocator.reporting.cautions import cautions
from allocator.reporting.csv_text import csv_text
from allocator.reporting.files import FILES, contents
from allocator.reporting.labels import labels_of
from allocator.reporting.proof import gap_text
from allocator.reporting.text import plain
from allocator.revising import Change, Revision, WireChange
from allocator.revising.what_changed import REMOVED, STAYS
from allocator.table import Row, Table, count, figure, text, texts

FORMAT = "allocator-revision/1"

_WIRES = (
    text("circuit"), text("pin", whole=True), text("wire"), text("size", whole=True), figure("", "m"),
    figure("", "g", 1),
)  # fmt: skip
_HEADINGS = {
    "moved": "Moved: could have stayed",
    "replaced": "Remade: cannot stay",
    "new": "New",
    "removed": "Removed with what they fed",
    "stays": "Stays as it is",
}


def revised(problem: Problem, revision: Revision) -> tuple[Block, ...]:
    """What moves, is new, is removed and stays, the wires to make and to take out, and what it costs."""
    if revision.layout is None:
        return (Heading(f"{revision.problem}: revision {revision.status}"), *_none(revision))
    return (
        Heading(f"{revision.problem}: revision {revision.status}"),
        Paragraph("\n".join(_sums(revision))),
        *_changes(revision),
        *_wires("Wires to be made", revision, "new"),
        *_wires("Wires to be removed", revision, "removed"),
        *_against_free(revision),
        Heading("Proof"),
        *_proof(revision),
        *cautions(problem),
    )


def _sums(revision: Revision) -> Iterator[str]:
    kinds = [change.what for change in revision.changes]
    yield (
        f"{kinds.count('stays')} stay, {counted(revision.moves, 'move')}, {kinds.count('replaced')} remade, "
        f"{kinds.count('new')} new, {kinds.count('removed')} removed (loads, and feeds of units)"
    )
    assert revision.layout is not None and revision.layout.totals is not None
    yield (
        f"copper to be made {number(revision.new_copper_g, 1)} g, that stays {number(revision.sunk_copper_g, 1)} g, "
        f"to be removed {number(revision.removed_copper_g, 1)} g"
    )
    totals = revision.layout.totals
    yield f"copper in the machine then {number(totals.copper_g, 1)} g, finished wire {number(totals.wire_g, 1)} g"


def _changes(revision: Revision) -> Iterator[Block]:
    for what, title in _HEADINGS.items():
        rows = [change for change in revision.changes if change.what == what]
        if not rows:
            continue
        yield Heading(title)
        headings = ["load"]
        if what != "new":
            headings.append("fed from" if what == "stays" else "was fed from")
        if what not in ("removed", "stays"):
            headings.append("is fed from")
        if what == "replaced":
            headings.append("why")
        yield Table(columns=texts(*headings), rows=tuple(_row(revision, change) for change in rows))


def _row(revision: Revision, change: Change) -> tuple[str, ...]:
    what = change.what
    cells = [change.of]
    if what != "new":
        before = " ".join((change.unit_before, ", ".join(change.pins_before))).strip()
        cells.append(before + _sizes(revision, change, "removed"))
    if what not in ("removed", "stays"):
        now = " ".join((change.unit, ", ".join(change.pins))).strip()
        cells.append(now + _sizes(revision, change, "new"))
    if what == "replaced":
        cells.append(change.reason)
    return tuple(cells)


def _sizes(revision: Revision, change: Change, what: str) -> str:
    """The size of a feed's cable, and of a load's wire where output and unit stay: that may be all that changes."""
    own = [wire for wire in revision.wires if wire.what == what]
    sizes = [wire.size for wire in own if wire.role == "feed" and wire.circuit == change.of]
    if (change.unit_before, {*change.pins_before}) == (change.unit, {*change.pins}):
        sizes += [wire.size for wire in own if wire.role != "return" and change.of in wire.loads]
    return "".join(f", {size}" for size in dict.fromkeys(sizes))


def _wires(title: str, revision: Revision, what: str) -> Iterator[Block]:
    wires = [wire for wire in revision.wires if wire.what == what]
    if not wires:
        return
    yield Heading(title)
    yield Table(columns=_WIRES, rows=tuple(map(_wire_row, wires)))


def _wire_row(wire: WireChange) -> Row:
    way = f"{wire.role} {wire.start} to {wire.end}"
    pins = ", ".join(wire.pins)
    return wire.circuit, pins, way, wire.size, wire.length_m, wire.copper_g


def _against_free(revision: Revision) -> Iterator[Block]:
    free, layout = revision.free, revision.layout
    if free is None or layout is None or layout.totals is None or free.layout.totals is None:
        yield Paragraph("What a free re-optimisation would give was not worked out.", "quiet")
        return
    yield Heading("Against a free re-optimisation, as if nothing were built")
    pairs = (
        ("this revision", revision.moves, revision.new_copper_g, layout),
        (f"free ({free.layout.status})", free.moves, free.new_copper_g, free.layout),
    )
    yield Table(
        columns=(
            text("layout"),
            count("moves"),
            figure("copper to make", "g", 1),
            figure("copper in all", "g", 1),
            count("outputs used"),
            figure("objective", "g", 1),
        ),
        rows=tuple(
            (name, moves, new, one.totals.copper_g, one.totals.outputs_used, one.objective_g)
            for name, moves, new, one in pairs
            if one.totals
        ),
    )
    least, most = revision.saved_by_free_g, revision.saved_at_most_g
    saved = number(least, 1)
    if free.layout.status != OPTIMAL:
        saved = f"at least {saved}" if most is None else f"{saved} to {number(most, 1)}"
    yield Paragraph(f"A free re-optimisation would have saved {saved} g in the objective of the whole layout.")


def _proof(revision: Revision) -> Iterator[Block]:
    limit = "" if revision.max_moves is None else f" with at most {counted(revision.max_moves, 'move')}"
    sites = "units may move" if revision.resite else "units stay where they are"
    worth = f"copper to be made, outputs, splices and {number(revision.move_g, 1)} g a move; {sites}"
    if revision.status == OPTIMAL:
        yield Paragraph(
            f"No revision of this layout{limit} comes to less than {number(revision.objective_g, 1)} g ({worth}): "
            "proven optimal over the options listed.",
            "good",
        )
    else:
        bound = "no bound is known"
        if revision.bound_g is not None:
            bound = f"none can be under {number(revision.bound_g, 1)} g"
        yield Paragraph(
            f"The best revision found{limit} comes to {number(revision.objective_g, 1)} g ({worth}); it is "
            f"not proven to be the least, and {bound} (gap {gap_text(revision.gap)})."
        )
    for cut in revision.cut_short:
        yield Paragraph(f"Not every option was tried: {cut.text}")


def _none(revision: Revision) -> Iterator[Block]:
    limit = "" if revision.max_moves is None else f" with at most {counted(revision.max_moves, 'move')}"
    if revision.status != INFEASIBLE:
        text = "The search was stopped before it found a revision. Give it more time with --time-limit."
        yield Paragraph(text, "bad")
        return
    yield Paragraph(f"No revision of this layout is possible{limit}: proven over the options listed.", "bad")
    for name, reason in revision.reasons:
        yield Paragraph(f"* {name} cannot stay: {reason}")
    if revision.least_moves is not None:
        yield Paragraph(
            f"The least that is possible is {counted(revision.least_moves, 'move')}: "
            f"--max-moves {revision.least_moves}."
        )
    elif not revision.resite:
        yield Paragraph("Try --resite, so that units may move; 'allocator solve' says what prevents it.")
    else:
        yield Paragraph("'allocator solve' says what prevents it.")


def as_json(revision: Revision) -> str:
    """The revision for programs; the layout in it reads back as a layout file."""
    return json.dumps(body(revision), indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def body(revision: Revision) -> dict[str, Any]:
    """The revision as plain data."""
    free = revision.free
    return {
        "format": FORMAT,
        "problem": revision.problem,
        "status": revision.status,
        "objective_g": revision.objective_g,
        "bound_g": revision.bound_g,
        "gap": revision.gap,
        "seconds": revision.seconds,
        "move_g": revision.move_g,
        "max_moves": revision.max_moves,
        "least_moves": revision.least_moves,
        "resite": revision.resite,
        "moves": revision.moves,
        "new_copper_g": revision.new_copper_g,
        "sunk_copper_g": revision.sunk_copper_g,
        "removed_copper_g": revision.removed_copper_g,
        "reasons": dict(revision.reasons),
        "cut_short": [cut.text for cut in revision.cut_short],
        "changes": [asdict(change) for change in revision.changes],
        "wires": [asdict(wire) for wire in revision.wires],
        "free": None
        if free is None
        else {
            "status": free.layout.status,
            "objective_g": free.layout.objective_g,
            "bound_g": free.layout.bound_g,
            "moves": free.moves,
            "new_copper_g": free.new_copper_g,
            "copper_g": None if free.layout.totals is None else free.layout.totals.copper_g,
        },
        "layout": None if revision.layout is None else json.loads(revision.layout.to_json()),
    }


REVISION_FILES = (*FILES, "revision.json", "revision.txt", "changes.csv", "changed-wires.csv")
"""Names of all that `files_of` gives: known before there is a revision."""


def files_of(problem: Problem, revision: Revision) -> dict[str, str | bytes]:
    """Every file of a revision: those of its layout, and what changes."""
    assert revision.layout is not None
    return {
        **contents(problem, revision.layout, in_place(revision.layout, revision.wires)),
        "revision.json": as_json(revision),
        "revision.txt": plain(revised(problem, revision)),
        "changes.csv": csv_text(revision.table()),
        "changed-wires.csv": csv_text(revision.wire_table()),
    }


def in_place(layout: Layout, wires: Iterable[WireChange]) -> tuple[str, ...]:
    """Labels of the wires of a revised layout that stay: its changes tell all that it has, in its order."""
    has = [wire.what for wire in wires if wire.what != REMOVED]
    return tuple(label for label, what in zip(labels_of(layout).every, has, strict=True) if what == STAYS)
