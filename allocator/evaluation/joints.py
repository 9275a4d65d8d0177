"""How the pieces of wire of a shared circuit join: from the output over its splices to each load."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from allocator.layout import PlacedWire

TRUNK = "trunk"
BRANCH = "branch"


@dataclass(frozen=True, slots=True, kw_only=True)
class Joints:
    """The tree that the pieces make. Pieces are named by their index among the wires of the circuit.

    ``ways`` holds (load, pieces passed from the output on); ``meeting`` (place, wires that meet in its splice);
    ``downstream`` (piece, loads whose current it carries); ``loose`` lists pieces that no current reaches or
    that end at no load, ``lost`` loads that nothing feeds, ``starts`` the pieces that begin at the output.
    """

    ways: tuple[tuple[str, tuple[int, ...]], ...]
    meeting: tuple[tuple[str, int], ...]
    downstream: tuple[tuple[int, tuple[str, ...]], ...]
    loose: tuple[int, ...]
    lost: tuple[str, ...]
    starts: tuple[int, ...]


def join(wires: Sequence[PlacedWire], site: str, loads: Sequence[str]) -> Joints:
    """Follow the current from the output at ``site``.

    A trunk ends in the splice at its end place, a branch at the load it names. A piece starts in the splice
    at its start place where a trunk ends there, else at the output if its start place is the site. Where a
    splice sits at the site itself, the piece from the output to it starts and ends at the site.
    """
    pieces = [n for n, wire in enumerate(wires) if wire.role in (TRUNK, BRANCH)]
    spliced = {wires[n].end for n in pieces if wires[n].role == TRUNK}
    if site in spliced:
        starts = [n for n in pieces if wires[n].role == TRUNK and wires[n].start == wires[n].end == site][:1]
    else:
        starts = [n for n in pieces if wires[n].start == site]
    onward: dict[str, list[int]] = {place: [] for place in spliced}
    for n in pieces:
        if n not in starts and wires[n].start in onward:
            onward[wires[n].start].append(n)
    ways, used = _follow(wires, starts, onward, set(loads))
    carried = {n: tuple(load for load, way in ways.items() if n in way) for n in pieces}
    return Joints(
        ways=tuple(ways.items()),
        meeting=tuple((place, _meeting(wires, pieces, starts, place)) for place in sorted(spliced)),
        downstream=tuple(carried.items()),
        loose=tuple(n for n in pieces if n not in used or not carried[n]),
        lost=tuple(load for load in loads if load not in ways),
        starts=tuple(starts),
    )


def _follow(
    wires: Sequence[PlacedWire], starts: Sequence[int], onward: dict[str, list[int]], loads: set[str]
) -> tuple[dict[str, tuple[int, ...]], set[int]]:
    """Ways from the output to the loads, and the pieces that were reached; no splice is entered twice."""
    ways: dict[str, tuple[int, ...]] = {}
    used: set[int] = set()
    entered: set[str] = set()
    ahead: list[tuple[int, tuple[int, ...]]] = [(n, (n,)) for n in starts]
    while ahead:
        n, way = ahead.pop()
        wire = wires[n]
        if wire.role == BRANCH:
            named = wire.loads[0] if wire.loads else ""
            if named in loads and named not in ways:
                ways[named] = way
                used.add(n)
        elif wire.end not in entered:
            entered.add(wire.end)
            used.add(n)
            ahead.extend((onward_n, (*way, onward_n)) for onward_n in onward[wire.end])
    return ways, used


def _meeting(wires: Sequence[PlacedWire], pieces: Sequence[int], starts: Sequence[int], place: str) -> int:
    """Wire ends that meet in the splice at a place."""
    ending = sum(wires[n].role == TRUNK and wires[n].end == place for n in pieces)
    starting = sum(n not in starts and wires[n].start == place for n in pieces)
    return ending + starting


def splices_needed(meeting: int, splice_wires: int) -> int:
    """Splices that join so many wire ends, none of them joining more than ``splice_wires``."""
    return 0 if meeting < 3 else -(-(meeting - 2) // max(splice_wires - 2, 1))
