"""What a layout is made of, half by half: wires out, wires back, loads fused at the source, given wires.

How full a bundle is ties the wires of all circuits together, so a heavier wire may be worth having, and a way round.
Out and back are listed apart: together they would be far too many.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from itertools import combinations

from allocator.problem import Bundling, GivenWire, Load, Problem, Supply
from tests.oracle.options import as_pinned, groups, milligrams, spots
from tests.oracle.physics import FUSES, at_most, fuse_heat_a2s, fuse_stands_a
from tests.oracle.routes import ways
from tests.oracle.sharing import shared_out
from tests.oracle.stock import Duty, Laid, Need, beside, branches, contacts, laid, of_either_table
from tests.oracle.wirings import backs, outgoing, single_out, stud, volts_allowed

Job = tuple[str, str, Duty]
"""What a return is for: its load, the place of the source that feeds it, what it must bear."""


@dataclass(frozen=True)
class Part:
    """Wires of one load or circuit, out or back.

    ``passes`` counts them by segment; ``bears`` holds for segments the most wires there with which all of them bear
    their protector.
    """

    cost_mg: int
    needs: tuple[Need, ...]
    cut: tuple[frozenset[str], ...]
    passes: Counter[int] = field(default_factory=Counter)
    bears: dict[int, int] = field(default_factory=dict)

    def as_good_as(self, other: Part) -> bool:
        """Whether it does in place of another that is as good in volts."""
        return (
            self.cost_mg <= other.cost_mg
            and Counter(self.needs) <= Counter(other.needs)
            and all(mine <= its for mine, its in zip(self.cut, other.cut, strict=True))
            and self.passes <= other.passes
            and all(other.bears.get(e, most + 1) <= most for e, most in self.bears.items())
        )


@dataclass(frozen=True)
class Out(Part):
    """Wires from the outputs of a unit, or from a fuse at the source (``unit`` None), to the loads of a circuit."""

    loads: tuple[str, ...] = ()
    unit: str | None = None
    site: str = ""
    bank: str | None = None
    class_name: str = ""
    pins: tuple[str, ...] = ()
    studs: tuple[str | None, ...] = ()
    left_v: tuple[float, ...] = ()
    jobs: tuple[Job, ...] = ()


@dataclass(frozen=True)
class Back(Part):
    """The return of one load."""

    volts: float = 0.0


@dataclass(frozen=True)
class Given(Part):
    """The cores of a given wire."""


def room(pieces: Iterable[tuple[Laid, int]]) -> tuple[Counter[int], dict[int, int]]:
    """How many wires lie in each segment, and how many there may be for all of them."""
    passes: Counter[int] = Counter()
    bears: dict[int, int] = {}
    for piece, count in pieces:
        for e in piece.segments:
            passes[e] += count
            bears[e] = min(bears.get(e, piece.beside or 0), piece.beside or 0)
    return passes, bears


def circuits(problem: Problem) -> Iterator[Out]:
    """All that may lead from outputs to loads, output by output."""
    splice = milligrams(problem.prices.splice_g)
    for spot in spots(problem):
        for loads in groups(problem):
            halves = single_out(problem, loads[0], spot) if len(loads) == 1 else shared_out(problem, loads, spot)
            names = tuple(load.name for load in loads)
            found = [
                Out(
                    half.copper_mg + half.splices * splice, half.needs, half.cut, *room(half.pieces), loads=names,
                    unit=spot.unit, site=spot.site, bank=spot.outputs.bank, class_name=spot.outputs.name,
                    pins=("",) * half.outputs, studs=half.studs, left_v=half.left_v,
                    jobs=tuple((load.name, spot.source_place, half.back) for load in loads if not load.bridge),
                )
                for half in halves
                if all(at_most(0.0, left) for left in half.left_v)
            ]
            for out in worth_having(found):
                for pins in combinations(spot.outputs.pins, len(out.pins)):
                    if all(as_pinned(load, spot.unit, pins) for load in loads):
                        yield replace(out, pins=pins)


def worth_having(found: list[Out]) -> list[Out]:
    """All but those in whose place another of the same circuit does, and leaves no less for the returns."""
    kept: list[Out] = []
    for out in sorted(found, key=lambda o: (o.cost_mg, -sum(o.left_v))):
        leaves = [all(a >= b for a, b in zip(k.left_v, out.left_v, strict=True)) for k in kept]
        if not any(enough and k.as_good_as(out) for k, enough in zip(kept, leaves, strict=True)):
            kept.append(out)
    return kept


def returns(problem: Problem, job: Job, *, direct: bool) -> list[Back]:
    """All that may lead back from a load."""
    name, source_place, duty = job
    stock = of_either_table if direct else branches
    found = [
        Back(
            piece.copper_mg, needs, (frozenset(bulkhead for bulkhead, _ in needs),), *room([(piece, 1)]), volts=volts
        )
        for piece, needs, volts in backs(problem, problem.load[name], source_place, duty, stock)
    ]
    kept: list[Back] = []
    for back in sorted(found, key=lambda b: (b.cost_mg, b.volts)):
        if not any(k.volts <= back.volts and k.as_good_as(back) for k in kept):
            kept.append(back)
    return kept


def directs(problem: Problem) -> Iterator[Out]:
    """All that may lead from the first source to the loads that are fused there."""
    source = problem.sources[0]
    for load in problem.loads:
        fuse = direct_fuse(problem, load) if load.supply == Supply.DIRECT else None
        if fuse is None:
            continue
        duty = Duty(fuse, fuse_heat_a2s(fuse), 1 / problem.margins.fuse_use)
        current, allowed = load.full_current_a, volts_allowed(problem, load, fed=False)
        found = []
        for way, length in outgoing(problem, load, source.place):
            for piece in of_either_table(problem, way, length, duty):
                crossed = contacts(problem, piece, current)
                if crossed is not None:
                    left = allowed - piece.volts(current) - crossed[1] * current
                    found.append(
                        Out(
                            piece.copper_mg, crossed[0], (frozenset(name for name, _ in crossed[0]),),
                            *room([(piece, 1)]), loads=(load.name,), studs=(stud(problem, load),), left_v=(left,),
                            jobs=((load.name, source.place, duty),),
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


def given(problem: Problem) -> list[Given] | None:
    """Every given wire with all its cores; None where one cannot be as it is given."""
    found = [_given(problem, wire) for wire in problem.given_wires]
    return None if None in found else [one for one in found if one is not None]


def _given(problem: Problem, wire: GivenWire) -> Given | None:
    way = ways(problem, wire.start, wire.end)[0]
    length = way.length_m + problem.margins.tail_m
    rows = [*laid(problem, problem.wires, way, length), *laid(problem, problem.feed_wires, way, length)]
    piece = next((row for row in rows if row.wire.size == wire.size), None)
    crossed = None if piece is None else contacts(problem, piece, wire.current_a)
    if piece is None or crossed is None or not at_most(wire.current_a, piece.ampacity_a):
        return None
    if problem.margins.bundle is not Bundling.NONE and wire.current_a > 0:
        piece = replace(piece, beside=beside(problem, piece, wire.current_a))
    return Given(wire.cores * piece.copper_mg, crossed[0] * wire.cores, (), *room([(piece, wire.cores)]))
