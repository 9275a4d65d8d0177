"""What wires lose between others that warm them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace

from allocator.options.conductor_option import ConductorOption
from allocator.options.jobs import SLACK
from allocator.options.lazy_rows import LazyRows, WarmBundle
from allocator.options.load_groups import LoadGroup
from allocator.options.wiring_plan import WiringPlan, drop_limit_v
from allocator.options.workbench import Workbench
from allocator.problem import Load, Problem, Supply
from allocator.wiring import SPLICE_OHM, resistance_ohm_m, running_temperature_c

Temperatures = Mapping[int, float]
"""How warm the middle of a bundle is, in degC, by segment; those not named warm nothing."""


def warm_drop_v(problem: Problem, own: ConductorOption, warm: Temperatures) -> float:
    """Drop of a conductor in V, as warm all along as the warmest of the bundles that it lies in makes it."""
    bundles = [] if problem.lies_beside(own.line) else [warm[e] for e in own.route.segments if e in warm]
    if not bundles:
        return own.drop_v
    alone_c, warmed_c = (
        running_temperature_c(own.current_a, own.ampacity_a, own.route.ambient_c, own.wire.insulation_c, bundle_c)
        for bundle_c in (None, max(bundles))
    )
    more_ohm_m = resistance_ohm_m(own.wire, warmed_c) - resistance_ohm_m(own.wire, alone_c)
    return own.drop_v + own.current_a * own.length_m * more_ohm_m


def warm_drops_v(
    problem: Problem, plan: WiringPlan, loads: Iterable[tuple[int | None, Load]], warm: Temperatures
) -> Iterator[tuple[Load, float]]:
    """What each load group of a plan loses there and back, in V: of its loads the one that loses most.

    Parameters
    ----------
    problem
        The problem, for which lines lie beside bundles.
    plan
        How the circuit is wired.
    loads
        Load groups by their index, each with a load; None for one that is fused at the source.
    warm
        How warm bundles are, in degC, by segment.
    """
    splices = dict(plan.splices)
    for group, load in loads:
        own = [c for c in plan.conductors if group is None or group in dict(c.members)]
        lost = [(c, warm_drop_v(problem, c, warm)) for c in own]
        out = [volts for c, volts in lost if c.role == "out" for _ in range(c.count)]
        total = sum(out) if load.bridge else max(out, default=0.0)
        for role in ("branch", "return"):
            total += max((volts for c, volts in lost if c.role == role), default=0.0)
        for c, volts in lost:
            if c.role == "trunk":
                total += volts + splices.get(c.route.places[-1], 0) * SPLICE_OHM * c.current_a
        yield load, total


Lost = Callable[[ConductorOption], float]
"""What a conductor loses in V between the warmest bundles that have lazy rows."""


def as_if_alone(own: ConductorOption) -> float:
    """What a conductor loses in V that no other warms."""
    return own.drop_v


def warmed_by(bench: Workbench) -> Lost | None:
    """What wires lose between the warmest bundles that have lazy rows; None where none is."""
    warm = temperatures(one for bundles in bench.lazy.warm for one in bundles)
    return (lambda own: warm_drop_v(bench.problem, own, warm)) if warm else None


def returns_within(
    back: Iterable[ConductorOption],
    before_v: float,
    limit_v: float,
    lost: Lost | None = None,
    warm_before_v: float = 0.0,
    heavy: Callable[[ConductorOption], bool] = lambda _: False,
) -> list[tuple[ConductorOption, float]]:
    """Return wires that keep a drop, with all that is lost then, in V; the lightest of each footprint.

    Parameters
    ----------
    back
        Return wires, the lightest first.
    before_v
        What is lost before them, in V.
    limit_v
        What may be lost in all, in V.
    lost
        What a wire loses between the warmest bundles: with it heavier wires are kept too, up to the first that keeps
        the drop there. None: as if alone.
    warm_before_v
        What is lost before them between the warmest bundles, in V.
    heavy
        Whether a wire is to be left out for its weight.
    """
    fits: list[tuple[ConductorOption, float]] = []
    enough: set[object] = set()
    for wire in back:
        if before_v + wire.drop_v > limit_v:
            continue
        if not heavy(wire) and wire.footprint not in enough:
            fits.append((wire, before_v + wire.drop_v))
            if lost is None or warm_before_v + lost(wire) <= limit_v:
                enough.add(wire.footprint)
    return fits


def limit_v(problem: Problem, load: Load) -> float:
    """Most volts that a load may lose on its wires, with what rounding adds."""
    return drop_limit_v(problem, load, fed=load.supply is not Supply.DIRECT) * SLACK


def judged(problem: Problem, plan: WiringPlan, loads: Iterable[tuple[int | None, Load]], lazy: LazyRows) -> WiringPlan:
    """A plan with the sets of warm bundles between which one of its loads would lose too much.

    Parameters
    ----------
    problem
        The problem.
    plan
        The wires of one circuit.
    loads
        Its loads, each with the number of its group; None for a direct load.
    lazy
        Rows on bundles that have been added so far.
    """
    own = tuple(loads)
    inside, failing = bundled_in(problem, plan), []
    for n, bundles in enumerate(lazy.warm):
        warm = temperatures(bundles)
        if inside & warm.keys() and any(
            volts > limit_v(problem, load) for load, volts in warm_drops_v(problem, plan, own, warm)
        ):
            failing.append(n)
    return replace(plan, too_warm=frozenset(failing)) if failing else plan


def bundled_in(problem: Problem, plan: WiringPlan) -> set[int]:
    """Segments in whose bundle a wire of a plan lies."""
    return {e for c in plan.conductors if not problem.lies_beside(c.line) for e in c.route.segments}


def temperatures(bundles: Iterable[WarmBundle]) -> dict[int, float]:
    """The warmest of each segment."""
    found: dict[int, float] = {}
    for one in bundles:
        found[one.segment] = max(one.body_c, found.get(one.segment, one.body_c))
    return found


def members_of(
    members: Iterable[tuple[int, int]], load_groups: Iterable[LoadGroup]
) -> tuple[tuple[int | None, Load], ...]:
    """The load groups of a circuit, by number."""
    groups = tuple(load_groups)
    return tuple((g, groups[g].sample) for g, _ in members)
