"""Loads behind one output: the shortest tree, its pieces and splices, and every size they may have."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from allocator.problem import Load, Problem, Segment
from tests.oracle.bundles import Lying
from tests.oracle.drops import Losing
from tests.oracle.physics import SPLICE_OHM, at_most
from tests.oracle.routes import Way, shortest_tree, way
from tests.oracle.stock import Laid, Need, branches, contacts
from tests.oracle.wirings import (
    Half,
    Spot,
    Wiring,
    best_returns,
    carried,
    fits,
    least_trip,
    losing_back,
    lying_back,
    measured,
    stud,
    volts_allowed,
)


@dataclass(frozen=True)
class Piece:
    """A wire of the tree: from the output or a splice to a splice or a load."""

    way: Way
    carries: frozenset[str]
    end: str | None
    splices: int


def shared(problem: Problem, loads: tuple[Load, ...], spot: Spot) -> Iterator[Wiring]:
    """Every way to feed two or more loads from one output."""
    for half in shared_out(problem, loads, spot):
        yield from _with_returns(problem, loads, spot, half)


def shared_out(problem: Problem, loads: tuple[Load, ...], spot: Spot) -> Iterator[Half]:
    """Every way to lead current to two or more loads from one output."""
    current = sum(load.full_current_a for load in loads)
    if any(load.bridge or measured(problem, load, spot.site) is not None for load in loads):
        return
    if not all(set(load.needs) <= set(spot.outputs.capabilities) for load in loads):
        return
    if not at_most(current, spot.rating_a * problem.margins.output_use):
        return
    trip = least_trip(problem, spot, loads, 1, current)
    pieces = None if trip is None else cut_up(problem, loads, spot.site)
    if trip is None or pieces is None:
        return
    for size in sorted({w.size for w in problem.wires.wires}):
        yield from _out_of_size(problem, loads, spot, trip, pieces, size)


def _of_size(
    problem: Problem, loads: tuple[Load, ...], spot: Spot, trip: float, pieces: list[Piece], size: str
) -> Iterator[Wiring]:
    for half in _out_of_size(problem, loads, spot, trip, pieces, size):
        yield from _with_returns(problem, loads, spot, half)


def _with_returns(problem: Problem, loads: tuple[Load, ...], spot: Spot, half: Half) -> Iterator[Wiring]:
    for backs in best_returns(problem, loads, spot, half.back, half):
        yield Wiring(
            outputs=1,
            copper_mg=half.copper_mg + sum(back.copper_mg for back, _, _ in backs),
            splices=half.splices,
            needs=half.needs + tuple(need for _, wanted, _ in backs for need in wanted),
            cut=tuple(cut | {b for b, _ in wanted} for cut, (_, wanted, _) in zip(half.cut, backs, strict=True)),
            studs=half.studs,
            lines=half.lines
            + tuple(
                line
                for load, (piece, _, _) in zip(loads, backs, strict=True)
                for line in lying_back(problem, load, piece, half.back)
            ),
            left_v=tuple(left - volts for left, (_, _, volts) in zip(half.left_v, backs, strict=True)),
            losing=tuple(
                losing + losing_back(problem, load, piece)
                for load, losing, (piece, _, _) in zip(loads, half.losing, backs, strict=True)
            ),
        )


def _out_of_size(
    problem: Problem, loads: tuple[Load, ...], spot: Spot, trip: float, pieces: list[Piece], size: str
) -> Iterator[Half]:
    current = {load.name: load.full_current_a for load in loads}
    drop = dict.fromkeys(current, 0.0)
    cut: dict[str, frozenset[str]] = {load.name: frozenset() for load in loads}
    losing: dict[str, tuple[Losing, ...]] = {load.name: () for load in loads}
    laid: list[Laid] = []
    lines: list[tuple[Lying, ...]] = []
    needs: tuple[Need, ...] = ()
    for piece in pieces:
        made = _made(problem, loads, spot, trip, piece, size)
        amperes = sum(current[name] for name in piece.carries)
        crossed = None if made is None else contacts(problem, made, amperes)
        if made is None or crossed is None:
            return
        laid.append(made)
        on_piece = [load for load in loads if load.name in piece.carries]
        lines.append(made.lying(problem, 1, trip, carried(problem, on_piece)))
        needs += crossed[0]
        for name in piece.carries:
            drop[name] += made.volts(amperes) + (crossed[1] + piece.splices * SPLICE_OHM) * amperes
            cut[name] |= {bulkhead for bulkhead, _ in crossed[0]}
            losing[name] += made.losing(problem, amperes)
    yield Half(
        outputs=1,
        copper_mg=sum(piece.copper_mg for piece in laid),
        splices=sum(piece.splices for piece in pieces),
        needs=needs,
        cut=tuple(cut[load.name] for load in loads),
        studs=tuple(stud(problem, load) for load in loads),
        left_v=tuple(volts_allowed(problem, load) - drop[load.name] for load in loads),
        lines=tuple(line for found in lines for line in found),
        losing=tuple(losing[load.name] for load in loads),
        back=spot.duty(trip),
    )


def _made(problem: Problem, loads: tuple[Load, ...], spot: Spot, trip: float, piece: Piece, size: str) -> Laid | None:
    lead = next((load.lead_m for load in loads if load.name == piece.end), 0.0)
    length = max(0.0, piece.way.length_m + problem.margins.tail_m - lead)
    able = branches(problem, piece.way, length, spot.duty(trip))
    return next((p for p in able if p.wire.size == size and fits(spot.outputs, p)), None)


def cut_up(problem: Problem, loads: tuple[Load, ...], site: str) -> list[Piece] | None:
    """The wires of the shortest tree from the site to the loads; None where a splice would sit in the wet."""
    tree = shortest_tree(problem, frozenset([site, *(load.place for load in loads)]))
    meeting = {p: sum(p in (s.start, s.end) for s in tree) for p in problem.place}
    for place in [site, *(load.place for load in loads)]:
        meeting[place] += 1
    splice_at = {p for p, n in meeting.items() if n >= 3}
    if any(problem.place[p].wet for p in splice_at):
        return None
    fan = problem.margins.splice_wires - 2
    count = {p: -(-(meeting[p] - 2) // fan) for p in splice_at}
    pieces: list[Piece] = []
    _walk(problem, loads, tree, count, (site,), (), pieces)
    return pieces


def _walk(
    problem: Problem,
    loads: tuple[Load, ...],
    tree: tuple[Segment, ...],
    splices: dict[str, int],
    places: tuple[str, ...],
    passed: tuple[Segment, ...],
    pieces: list[Piece],
) -> frozenset[str]:
    """Follow one wire from where it starts to its end, and those beyond it; the loads it carries."""
    here, before = places[-1], passed[-1] if passed else None
    ends = [load.name for load in loads if load.place == here]
    if here in splices:
        return _spliced(problem, loads, tree, splices, places, passed, pieces)
    if ends:
        (end,) = ends
        pieces.append(Piece(way(problem, places, passed), frozenset(ends), end, 0))
        return frozenset(ends)
    (onward,) = [s for s in tree if here in (s.start, s.end) and s is not before]
    beyond = onward.end if onward.start == here else onward.start
    return _walk(problem, loads, tree, splices, (*places, beyond), (*passed, onward), pieces)


def _spliced(
    problem: Problem,
    loads: tuple[Load, ...],
    tree: tuple[Segment, ...],
    splices: dict[str, int],
    places: tuple[str, ...],
    passed: tuple[Segment, ...],
    pieces: list[Piece],
) -> frozenset[str]:
    """End a wire at a splice, and start from there a wire for each load there and each segment beyond."""
    here, before = places[-1], passed[-1] if passed else None
    carried: set[str] = set()
    for load in loads:
        if load.place == here:
            pieces.append(Piece(way(problem, (here,), ()), frozenset([load.name]), load.name, 0))
            carried.add(load.name)
    for segment in tree:
        if here in (segment.start, segment.end) and segment is not before:
            beyond = segment.end if segment.start == here else segment.start
            carried |= _walk(problem, loads, tree, splices, (here, beyond), (segment,), pieces)
    pieces.append(Piece(way(problem, places, passed), frozenset(carried), None, splices[here]))
    return frozenset(carried)
