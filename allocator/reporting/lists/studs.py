"""Where returns end: ground studs, the minus of a source, or the metal at hand."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.reporting.lists.build import Build
from allocator.reporting.lists.listing import listing
from allocator.reporting.lists.pieces import Piece
from allocator.table import Row, Table, figure, fill_in, text

COLUMNS = (
    text("ends at"),
    text("label"),
    text("of"),
    text("size"),
    figure("current", "A"),
    figure("stud limit", "A", 1),
    figure("stud worst", "A"),
    text("worst in"),
    fill_in("done"),
)

NOTE = (
    "Current: the full current of the load. Stud worst: all that flows into the stud in the condition in which most "
    "does, the same in each of its lines."
)


def studs(build: Build) -> Table:
    """One row for each return, stud by stud in the order of the names."""
    worst: dict[str, tuple[float, str]] = {}
    for one in build.volts.grounds:
        worst[one.ground] = max(worst.get(one.ground, (0.0, "")), (one.current_a, one.condition))
    last: dict[str, Piece] = {piece.wire: piece for piece in build.pieces if piece.role == "return"}
    rows = sorted(_rows(build, tuple(last.values()), worst), key=lambda row: str(row[0]))
    return listing("studs", "Ground studs and other ends of returns", COLUMNS, rows, NOTE)


def _rows(build: Build, ends: tuple[Piece, ...], worst: dict[str, tuple[float, str]]) -> Iterator[Row]:
    limits = {f"stud at {place.name}": (place.name, place.stud_a) for place in build.problem.places if place.stud_a}
    for piece in ends:
        place, limit = limits.get(piece.end, ("", None))
        current, condition = worst.get(f"stud {place}", (None, "")) if place else (None, "")
        loads = "; ".join(piece.loads)
        yield (piece.end, piece.label, loads, piece.size, piece.current_a, limit, current, condition, None)
