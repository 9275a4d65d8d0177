"""Which wires may be used where, and what one costs and drops."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from allocator.problem import Problem, Wire, WireTable
from tests.oracle.physics import at_most, copper_mg, free_air_a, hot_ohm
from tests.oracle.routes import Way


@dataclass(frozen=True)
class Laid:
    """A conductor of some size along a way: what it may carry, what it costs, what resists in it."""

    wire: Wire
    way: Way
    length_m: float
    ampacity_a: float

    @property
    def copper_mg(self) -> int:
        """Copper of this one conductor."""
        return copper_mg(self.wire, self.length_m)

    def volts(self, current_a: float) -> float:
        """Drop along it at running temperature, contacts apart."""
        return current_a * hot_ohm(self.wire, self.length_m, current_a, self.ampacity_a, self.way.ambient_c)


def laid(problem: Problem, table: WireTable, way: Way, length_m: float) -> Iterator[Laid]:
    """Every row of the table's lowest class that the way allows."""
    asked = max(problem.wire_rules.insulation_c, way.insulation_c)
    classes = [w.insulation_c for w in table.wires if w.insulation_c >= asked]
    if not classes or way.ambient_c >= min(classes):
        return
    for wire in table.wires:
        if wire.insulation_c == min(classes):
            free = free_air_a(wire, way.ambient_c, problem.altitude_m)
            yield Laid(wire, way, length_m, free * problem.margins.ampacity)


def branches(problem: Problem, way: Way, length_m: float, trip_a: float) -> Iterator[Laid]:
    """What a branch behind a trip may be made of."""
    rules = problem.wire_rules
    for piece in laid(problem, problem.wires, way, length_m):
        on_shelf = not rules.sizes or piece.wire.size in rules.sizes
        thick = at_most(rules.smallest_mm2, piece.wire.area_mm2)
        if on_shelf and thick and at_most(trip_a, piece.ampacity_a):
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
