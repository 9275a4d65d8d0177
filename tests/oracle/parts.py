"""What a layout is made of, half by half: wires out, wires back, loads fused at the source, given wires.

What lies in a bundle ties the wires of all circuits together, so a heavier wire may be worth having, and a way round.
Outputs, wires out and wires back are listed apart: together they would be far too many. They are listed once for all
models of a problem.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

from allocator.problem import GivenWire, Line, Load, Problem, Supply
from tests.oracle.bundles import Lying, all_do_for
from tests.oracle.drops import Losing
from tests.oracle.options import as_pinned, groups, milligrams, spots
from tests.oracle.physics import FUSES, at_most, fuse_heat_a2s, fuse_stands_a
from tests.oracle.routes import ways
from tests.oracle.sharing import shared_out
from tests.oracle.stock import Duty, Need, branches, contacts, laid, of_either_table
from tests.oracle.wirings import backs, carried, losing_back, lying_back, outgoing, single_out, stud, volts_allowed

Job = tuple[str, str, Duty]
"""What a return is for: its load, the place of the source that feeds it, what it must bear."""


@dataclass(frozen=True)
class Part:
    """Wires of one load or circuit, out or back, how they lie, and which of them each load may lose more on."""

    cost_mg: int
    needs: tuple[Need, ...]
    cut: tuple[frozenset[str], ...]
    lines: tuple[Lying, ...]
    losing: tuple[tuple[Losing, ...], ...]

    def as_good_as(self, other: Part) -> bool:
        """Whether it does in place of another that is as good in volts before bundles warm it."""
        return (
            self.cost_mg <= other.cost_mg
            and Counter(self.needs) <= Counter(other.needs)
            and all(mine <= its for mine, its in zip(self.cut, other.cut, strict=True))
            and all_do_for(self.lines, other.lines)
            and self.losing == other.losing
        )


@dataclass(frozen=True)
class Out(Part):
    """Wires from outputs, or from a fuse at the source, to the loads of a circuit."""

    loads: tuple[str, ...]
    studs: tuple[str | None, ...]
    left_v: tuple[float, ...]
    jobs: tuple[Job, ...]


@dataclass(frozen=True)
class Back(Part):
    """The return of one load."""

    volts: float


@dataclass(frozen=True)
class Circuit:
    """Loads on named outputs of a unit at a site."""

    loads: tuple[str, ...]
    unit: str
    site: str
    bank: str | None
    class_name: str
    pins: tuple[str, ...]


@lru_cache(maxsize=1)
def circuits(problem: Problem) -> tuple[tuple[list[Circuit], list[Out]], ...]:
    """Loads on outputs of a class: each choice of outputs, and the wires out that go with any of these."""
    return tuple(_circuits(problem))


def _circuits(problem: Problem) -> Iterator[tuple[list[Circuit], list[Out]]]:
    splice = milligrams(problem.prices.splice_g)
    for spot in spots(problem):
        for loads in groups(problem):
            halves = list(single_out(problem, loads[0], spot) if len(loads) == 1 else shared_out(problem, loads, spot))
            names = tuple(load.name for load in loads)
            outs = [
                Out(
                    half.copper_mg + half.splices * splice,
                    half.needs,
                    half.cut,
                    half.lines,
                    half.losing,
                    names,
                    half.studs,
                    half.left_v,
                    tuple((load.name, spot.source_place, half.back) for load in loads if not load.bridge),
                )
                for half in halves
                if all(at_most(0.0, left) for left in half.left_v)
            ]
            if outs:
                on = [
                    Circuit(names, spot.unit, spot.site, spot.outputs.bank, spot.outputs.name, pins)
                    for pins in combinations(spot.outputs.pins, halves[0].outputs)
                    if all(as_pinned(load, spot.unit, pins) for load in loads)
                ]
                yield on, worth_having(outs)


def worth_having(found: list[Out]) -> list[Out]:
    """All but those in whose place another of the same circuit does, and leaves no less for the returns."""
    kept: list[Out] = []
    for out in sorted(found, key=lambda o: (o.cost_mg, -sum(o.left_v))):
        leaves = [all(a >= b for a, b in zip(k.left_v, out.left_v, strict=True)) for k in kept]
        if not any(enough and k.as_good_as(out) for k, enough in zip(kept, leaves, strict=True)):
            kept.append(out)
    return kept


@lru_cache(maxsize=1000)
def returns(problem: Problem, job: Job, *, direct: bool) -> tuple[Back, ...]:
    """All that may lead back from a load."""
    name, source_place, duty = job
    load, stock = problem.load[name], of_either_table if direct else branches
    lines = tuple(Line) if direct else (Line.WIRE,)
    found = [
        Back(
            piece.copper_mg,
            needs,
            (frozenset(bulkhead for bulkhead, _ in needs),),
            lying_back(problem, load, piece, duty),
            (losing_back(problem, load, piece),),
            volts,
        )
        for piece, needs, volts in backs(problem, load, source_place, duty, stock, lines)
    ]
    kept: list[Back] = []
    for back in sorted(found, key=lambda b: (b.cost_mg, b.volts)):
        if not any(k.volts <= back.volts and k.as_good_as(back) for k in kept):
            kept.append(back)
    return tuple(kept)


@lru_cache(maxsize=1)
def directs(problem: Problem) -> tuple[Out, ...]:
    """All that may lead from the first source to the loads that are fused there."""
    return tuple(_directs(problem))


def _directs(problem: Problem) -> Iterator[Out]:
    source = problem.sources[0]
    for load in problem.loads:
        fuse = direct_fuse(problem, load) if load.supply == Supply.DIRECT else None
        if fuse is None:
            continue
        duty = Duty(fuse, fuse_heat_a2s(fuse))
        current, allowed = load.full_current_a, volts_allowed(problem, load, fed=False)
        found = []
        for way, length in outgoing(problem, load, source.place, tuple(Line)):
            for piece in of_either_table(problem, way, length, duty):
                crossed = contacts(problem, piece, current)
                if crossed is not None:
                    left = allowed - piece.volts(current) - crossed[1] * current
                    found.append(
                        Out(
                            piece.copper_mg,
                            crossed[0],
                            (frozenset(name for name, _ in crossed[0]),),
                            piece.lying(problem, 1, fuse, carried(problem, [load])),
                            (piece.losing(problem, current),),
                            (load.name,),
                            (stud(problem, load),),
                            (left,),
                            ((load.name, source.place, duty),),
                        )
                    )
        yield from worth_having(found)


def direct_fuse(problem: Problem, load: Load) -> float | None:
    """The least standard fuse for the current and the start of a load; None where that is none that it bears."""
    enough = [
        fuse
        for fuse in FUSES
        if at_most(load.full_current_a, problem.margins.fuse_use * fuse)
        and (load.inrush_s is None or at_most(load.inrush_a or 0.0, fuse_stands_a(fuse, load.inrush_s)))
    ]
    if not enough or (load.max_trip_a is not None and not at_most(min(enough), load.max_trip_a)):
        return None
    return None if load.stall_a is not None and min(enough) >= load.stall_a else min(enough)


def given(problem: Problem) -> list[Part] | None:
    """Every given wire with all its cores; None where one cannot be as it is given."""
    found = [_given(problem, wire) for wire in problem.given_wires]
    return None if None in found else [one for one in found if one is not None]


def _given(problem: Problem, wire: GivenWire) -> Part | None:
    """Its cores along the shortest way; of a cable with as many beside it as it bears."""
    line = Line.WIRE if any(row.size == wire.size for row in problem.wires.wires) else Line.CABLE
    way = ways(problem, wire.start, wire.end, (line,))[0]
    length = way.length_m + problem.margins.tail_m
    bearing = [
        row
        for row in laid(problem, line, way, length)
        if row.wire.size == wire.size and at_most(wire.current_a, row.ampacity_a)
    ]
    crossed = contacts(problem, bearing[-1], wire.current_a) if bearing else None
    if crossed is None:
        return None
    currents = (wire.current_a,) * len(problem.conditions)
    lines = bearing[-1].lying(problem, wire.cores, wire.current_a, currents)
    return Part(wire.cores * bearing[-1].copper_mg, crossed[0] * wire.cores, (), lines, ())
