"""Where the bundle of a segment lies: what the problem says of it, as its heat asks for it."""

from __future__ import annotations

from allocator.problem import Bundling, Line, Problem
from allocator.wiring.bundle_heat import Surroundings
from allocator.wiring.conductors import of_class


def surroundings_of(problem: Problem, segment: int) -> Surroundings | None:
    """Ambient, lowest class and allowance of a segment; None where the wire table has no wire that may lie there."""
    own = problem.segments[segment]
    asked = of_class(problem.wires, max(problem.wire_rules.insulation_c, own.insulation_c or 0.0))
    if not asked:
        return None
    return Surroundings(
        ambient_c=problem.segment_ambient_c(own),
        limit_c=asked[0].insulation_c,
        altitude_m=problem.altitude_m,
        allowance=problem.margins.ampacity * own.factor,
    )


def warmest_bundle_c(problem: Problem, ambient_c: float, limit_c: float) -> float | None:
    """How warm a feed that lies in bundles is taken to find them when its drop is reckoned, in degC; None beside them.

    What a feed carries at most is worked out before there is a layout. The heat rule lets a bundle give
    ``allowance^2`` of the heat at which it would reach the class. A rise grows as the heat to the power 0.75 or faster
    (Churchill and Chu 1975: the film of a cylinder; conduction and radiation are nearer to 1), so it stays below
    ``allowance^1.5`` of that to the class.
    """
    if problem.lies_beside(Line.CABLE) or problem.margins.bundle is not Bundling.HEAT:
        return None
    return ambient_c + float(problem.margins.ampacity**1.5) * (limit_c - ambient_c)
