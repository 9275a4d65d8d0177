"""The list to cut wire by: a line for each piece, with what it joins, its way, size, length, and a box to tick."""

from __future__ import annotations

from math import ceil

from allocator.reporting.lists.build import Build
from allocator.reporting.lists.listing import listing
from allocator.reporting.lists.pieces import Piece
from allocator.reporting.whole_wires import GIVEN
from allocator.table import Row, Table, figure, fill_in, text

BOX, IN_PLACE = "[ ]", "in place"
COLOURS = frozenset({"colour", "color", "wire colour", "wire color"})
RETURN_COLOURS = frozenset({"return colour", "return color"})

COLUMNS = (
    text("cut"),
    text("label"),
    text("from"),
    text("from pin"),
    text("to"),
    text("to pin"),
    text("route"),
    text("lies"),
    text("size"),
    figure("insulation", "degC", 0),
    text("colour"),
    figure("length", "m", 3),
    figure("cut length", "m"),
    figure("length tolerance", "m"),
    figure("mass", "g", 1),
    figure("copper", "g", 1),
    figure("trip or fuse", "A"),
    fill_in("remark"),
)

NOTE = (
    "In place: a wire that a revision leaves where it is. The colour is that of the schedule's column 'colour' (of "
    "a return: 'return colour'), or left to be filled in. Length tolerance: a connector is taken to be in the "
    "middle of its segment; measure before cutting there. A gland does not part a wire. Half the tail is at each end "
    "of a wire and none at a connector in between. Lies beside the bundle: a cable is tied beside the bundle of wires "
    "where it passes one, not in it; all others lie in the bundle."
)


def cut_list(build: Build) -> Table:
    """Every piece in the order of the layout; cores of given wires one by one."""
    rows = (_row(build, piece) for piece in build.pieces)
    return listing("cut-list", "Wires to cut", COLUMNS, rows, NOTE)


def cut_m(length_m: float, step_m: float) -> float:
    """A length rounded up to whole steps; a millionth of a metre over is none."""
    return round(step_m * ceil(length_m / step_m - 1e-6 / step_m), 6)


def _row(build: Build, piece: Piece) -> Row:
    return (
        IN_PLACE if piece.wire in build.in_place else BOX,
        piece.label,
        piece.start,
        piece.from_pin,
        piece.end,
        piece.to_pin,
        " - ".join(piece.route),
        build.lies(piece.wire),
        piece.size,
        piece.insulation_c,
        _colour(build, piece),
        piece.length_m,
        cut_m(piece.length_m, build.cut_step_m),
        piece.tolerance_m or None,
        piece.wire_g,
        piece.copper_g,
        piece.guard_a,
        None,
    )


def _colour(build: Build, piece: Piece) -> str:
    if piece.use == GIVEN:
        return build.said_of_wire(piece.given, COLOURS)
    return build.carried(piece.loads, RETURN_COLOURS if piece.role == "return" else COLOURS)
