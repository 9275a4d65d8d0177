"""Which wires may be used where, and what one costs and drops."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from allocator.problem import Bundling, Cables, Line, Problem, Supply, Wire
from tests.oracle.bundles import Lying, factor
from tests.oracle.drops import Losing
from tests.oracle.physics import at_most, bundle_factor, copper_mg, free_air_a, hot_ohm, withstands
from tests.oracle.routes import Way, passable


@dataclass(frozen=True)
class Laid:
    """A conductor of some size along a way: what it may carry, what it costs, what resists in it.

    ``ampacity_a`` is that with the factors of its segments and, of a cable that lies beside bundles, with that of as
    many as lie ``side_by_side``; None for what lies in bundles, or where nothing is counted.
    """

    wire: Wire
    way: Way
    length_m: float
    ampacity_a: float
    side_by_side: int | None = None

    @property
    def copper_mg(self) -> int:
        """Copper of this one conductor."""
        return copper_mg(self.wire, self.length_m)

    def volts(self, current_a: float) -> float:
        """Drop along it, contacts apart, as warm as its own current makes it."""
        return current_a * hot_ohm(self.wire, self.length_m, current_a / self.ampacity_a, self.way.ambient_c)

    def losing(self, problem: Problem, current_a: float, times: int = 1) -> tuple[Losing, ...]:
        """What may lose more between others that warm it; nothing outside bundles, or where heat is not counted."""
        if problem.margins.bundle is not Bundling.HEAT or self.side_by_side is not None or not self.way.segments:
            return ()
        way = self.way
        return (Losing(self.wire, way.segments, self.length_m, way.ambient_c, current_a, self.ampacity_a, times),)

    def lying(self, problem: Problem, count: int, trip_a: float, currents_a: tuple[float, ...]) -> tuple[Lying, ...]:
        """How so many of it lie in the segments of their way; nothing where that is nobody's concern."""
        if problem.margins.bundle is Bundling.NONE or not self.way.segments:
            return ()
        segments = self.way.segments
        return (Lying(self.wire, segments, count, trip_a, currents_a, self.ampacity_a, self.side_by_side),)


def laid(problem: Problem, line: Line, way: Way, length_m: float) -> Iterator[Laid]:
    """Every row of a table's lowest class that the way allows; a cable once for each number that may lie beside it."""
    table = problem.wires if line is Line.WIRE else problem.feed_wires
    asked = max(problem.wire_rules.insulation_c, way.insulation_c)
    classes = [w.insulation_c for w in table.wires if w.insulation_c >= asked]
    if not classes or way.ambient_c >= min(classes) or not passable(problem, way, line):
        return
    beside = line is Line.CABLE and problem.margins.cables is Cables.BESIDE
    share = problem.margins.ampacity * factor(problem, way.segments, inside=not beside)
    for wire in table.wires:
        if wire.insulation_c == min(classes):
            alone = free_air_a(wire, way.ambient_c, problem.altitude_m) * share
            if not beside or problem.margins.bundle is Bundling.NONE:
                yield Laid(wire, way, length_m, alone)
                continue
            for cables in range(1, most_side_by_side(problem) + 1):
                yield Laid(wire, way, length_m, alone * bundle_factor(cables, 1.0), cables)


def most_side_by_side(problem: Problem) -> int:
    """No more cables can lie beside each other anywhere, a bundle of wires among them."""
    direct = sum(load.supply is Supply.DIRECT for load in problem.loads)
    return 1 + len(problem.units) + 2 * direct + sum(wire.cores for wire in problem.given_wires)


@dataclass(frozen=True)
class Duty:
    """What a wire must bear: its protector, and what that lets through in a short."""

    trip_a: float
    heat_a2s: float = 0.0

    def borne_by(self, piece: Laid) -> bool:
        """Whether a piece may lie behind the protector."""
        return at_most(self.trip_a, piece.ampacity_a) and withstands(piece.wire, self.heat_a2s)


def on_shelf(problem: Problem, way: Way, length_m: float) -> Iterator[Laid]:
    """What a wire may be made of."""
    rules = problem.wire_rules
    for piece in laid(problem, Line.WIRE, way, length_m):
        thick = at_most(0.995 * rules.smallest_mm2, piece.wire.area_mm2)
        if thick and (not rules.sizes or piece.wire.size in rules.sizes):
            yield piece


def branches(problem: Problem, way: Way, length_m: float, duty: Duty) -> Iterator[Laid]:
    """What a branch behind a trip may be made of."""
    return (piece for piece in on_shelf(problem, way, length_m) if duty.borne_by(piece))


def of_either_table(problem: Problem, way: Way, length_m: float, duty: Duty) -> Iterator[Laid]:
    """What a wire behind a fuse at the source may be made of; a cable only of a size that the shelf has not."""
    yield from branches(problem, way, length_m, duty)
    labels = {piece.wire.size for piece in on_shelf(problem, way, length_m)}
    for piece in laid(problem, Line.CABLE, way, length_m):
        if piece.wire.size not in labels and duty.borne_by(piece):
            yield piece


Need = tuple[str, frozenset[int]]


def contacts(problem: Problem, piece: Laid, current_a: float) -> tuple[tuple[Need, ...], float] | None:
    """The contact that the piece needs at each crossing, any of a set of contact sets, and their resistance.

    None where some bulkhead has no contact for it. The contact sets that would do at one crossing have to be
    alike in resistance: which of them a wire takes is then no matter of drop.
    """
    needs: list[Need] = []
    ohm = 0.0
    for name in piece.way.bulkheads:
        sets = problem.bulkhead[name].contacts
        good = frozenset(
            n
            for n, s in enumerate(sets)
            if at_most(s.wire_mm2[0], piece.wire.area_mm2)
            and at_most(piece.wire.area_mm2, s.wire_mm2[1])
            and (s.continuous_a is None or at_most(current_a, s.continuous_a))
        )
        if not good:
            return None
        resistances = {sets[n].resistance_ohm for n in good}
        if len(resistances) > 1:
            raise ValueError(f"contacts of {name} differ in resistance: not for this oracle")
        needs.append((name, good))
        ohm += resistances.pop()
    return tuple(needs), ohm
