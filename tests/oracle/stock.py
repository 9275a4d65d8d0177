"""Which wires may be used where, and what one costs and drops."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from allocator.problem import Bundling, Problem, Wire, WireTable
from tests.oracle.physics import at_most, copper_mg, free_air_a, hot_ohm, most_beside, withstands
from tests.oracle.routes import Way


@dataclass(frozen=True)
class Laid:
    """A conductor of some size along a way: what it may carry, what it costs, what resists in it.

    ``ampacity_a`` is that outside of bundles. ``beside`` is the most wires in any segment on its way with which it
    still bears its protector; None where bundles do not count, or for a conductor that does not.
    ``heat`` is the share of what it may carry that its temperature is taken at; None: that of its current.
    """

    wire: Wire
    way: Way
    length_m: float
    ampacity_a: float
    beside: int | None = None
    heat: float | None = None

    @property
    def copper_mg(self) -> int:
        """Copper of this one conductor."""
        return copper_mg(self.wire, self.length_m)

    def volts(self, current_a: float) -> float:
        """Drop along it at running temperature, contacts apart."""
        share = current_a / self.ampacity_a if self.heat is None else self.heat
        return current_a * hot_ohm(self.wire, self.length_m, share, self.way.ambient_c)

    @property
    def segments(self) -> tuple[int, ...]:
        """The segments in which it is counted."""
        return () if self.beside is None else self.way.segments


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


@dataclass(frozen=True)
class Duty:
    """What a wire must bear: its protector, what that lets through in a short, and how hot a bundle may make it."""

    trip_a: float
    heat_a2s: float = 0.0
    margin: float | None = None

    def borne_by(self, problem: Problem, piece: Laid) -> Laid | None:
        """The piece behind the protector; None where it cannot lie there."""
        if not at_most(self.trip_a, piece.ampacity_a) or not withstands(piece.wire, self.heat_a2s):
            return None
        if problem.margins.bundle is Bundling.NONE:
            return piece
        heat = 1 / (self.margin or problem.margins.trip)
        return replace(piece, beside=beside(problem, piece, self.trip_a), heat=heat)


def beside(problem: Problem, piece: Laid, asked_a: float) -> int:
    """The most wires in any segment with which it carries what is asked, but no more than there could ever be."""
    most = most_beside(piece.ampacity_a, asked_a, problem.margins.bundle_loading or 0.6)
    outgoing = max(2, *(c.parallel for kind in problem.unit_types for c in kind.outputs))
    cores = sum(wire.cores for wire in problem.given_wires)
    return min(most, (outgoing + 1) * len(problem.loads) + len(problem.units) + cores)


def branches(problem: Problem, way: Way, length_m: float, duty: Duty) -> Iterator[Laid]:
    """What a branch behind a trip may be made of."""
    rules = problem.wire_rules
    for piece in laid(problem, problem.wires, way, length_m):
        on_shelf = not rules.sizes or piece.wire.size in rules.sizes
        thick = at_most(0.995 * rules.smallest_mm2, piece.wire.area_mm2)
        made = duty.borne_by(problem, piece) if on_shelf and thick else None
        if made is not None:
            yield made


def of_either_table(problem: Problem, way: Way, length_m: float, duty: Duty) -> Iterator[Laid]:
    """What a wire behind a fuse at the source may be made of; of a label in both tables the wire table's is meant."""
    yield from branches(problem, way, length_m, duty)
    labels = {wire.size for wire in problem.wires.wires}
    for piece in laid(problem, problem.feed_wires, way, length_m):
        made = duty.borne_by(problem, piece) if piece.wire.size not in labels else None
        if made is not None:
            yield made


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
