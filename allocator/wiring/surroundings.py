"""Where the bundle of a segment lies: what the problem says of it, as its heat asks for it."""

from __future__ import annotations

from allocator.problem import Bundling, Problem
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


def warmed_share(problem: Problem, *, in_bundle: bool) -> float:
    """The share of its rise to the class that a wire is taken to be warmed to by its bundle, when its drop is reckoned.

    The heat rule lets a bundle give ``allowance^2`` of the heat at which it would reach the class, what a wire adds of
    its own included. A rise grows as the heat to the power 0.75 or faster (Churchill and Chu 1975: the film of a
    cylinder; conduction and radiation are nearer to 1), so it stays below ``allowance^1.5``. The bundle may be cooler
    than that. 0 for a line that lies in none, and where bundles do not go by heat.
    """
    return problem.margins.ampacity**1.5 if in_bundle and problem.margins.bundle is Bundling.HEAT else 0.0
