"""Where the bundle of a segment lies: what the problem says of it, as its heat asks for it."""

from __future__ import annotations

from allocator.problem import Problem
from allocator.wiring.bundle_heat import Surroundings
from allocator.wiring.conductors import of_class


def surroundings_of(problem: Problem, segment: int) -> Surroundings | None:
    """Ambient, lowest class and allowance of a segment; None where the wire table has no wire that may lie there."""
    own = problem.segments[segment]
    asked = of_class(problem.wires, max(problem.wire_rules.insulation_c, own.insulation_c or 0.0))
    if not asked:
        return None
    return Surroundings(
        ambient_c=problem.ambient_c if own.ambient_c is None else own.ambient_c,
        limit_c=asked[0].insulation_c,
        altitude_m=problem.altitude_m,
        allowance=problem.margins.ampacity * own.factor,
    )
