"""What lies together in each segment: wires, loading and diameter of the bundle; the rules on loading."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from math import pi, sqrt

from allocator.checking.circuits import carried, divided
from allocator.checking.conductors import Conductor
from allocator.checking.context import Context
from allocator.checking.crowds import least_column
from allocator.checking.report import Breach, excess, number
from allocator.problem import Bundling
from allocator.wiring import bundle_factor, completed, next_loading
from allocator.wiring.bundle_heat import PACKING


@dataclass(frozen=True, slots=True, kw_only=True)
class Bundle:
    """The wires of one segment.

    ``segment`` is its number in the problem. ``wires`` are those with a current, once for each pass; only
    these count for the factor; ``cores`` are all, given cores without a current too. ``loading`` holds
    (condition, current of all wires over the sum of their ampacities with factor). ``diameter_mm`` is that of a
    round bundle, the wire's own for one wire; ``filled_mm2`` is the area of all wires with their insulation.
    ``column`` and ``factor`` are those of the bundle table, None without bundles.
    """

    segment: int
    name: str
    wires: int
    cores: int
    loading: tuple[tuple[str, float], ...]
    diameter_mm: float
    filled_mm2: float
    column: float | None = None
    factor: float | None = None

    @property
    def fullest(self) -> tuple[str, float]:
        """The condition of the highest loading, and that loading."""
        return max(self.loading, key=lambda pair: pair[1])


@dataclass(frozen=True, slots=True)
class _Laid:
    """Alike conductors in one segment, and what each carries in each condition."""

    conductor: Conductor
    cores: int
    currents_a: tuple[float, ...]
    counts: bool


def bundles_of(context: Context) -> tuple[Bundle, ...]:
    """The bundle of each segment that has any wire, in the order of the problem's segments."""
    laid: dict[int, list[_Laid]] = defaultdict(list)
    for one in _laid(context):
        if one.conductor.route is not None:
            for segment in one.conductor.route.segments:
                laid[segment].append(one)
    return tuple(_bundle(context, segment, laid[segment]) for segment in sorted(laid))


def bundle_column(context: Context) -> Iterator[Breach]:
    """The loading that a layout is made for is a share, in no column of the table below the problem's."""
    stated = context.layout.bundle_loading
    if stated is None:
        return
    if context.problem.margins.bundle is Bundling.NONE:
        text = "the layout states a bundle loading, but in its problem bundles do not count"
        yield Breach("layout", abs(stated), "of the ampacity", text)
        return
    least = least_column(context.problem)
    if not (0.0 < stated <= 1.0 and next_loading(stated) >= least):
        off = max(least - stated, stated - 1.0)
        made = f"the layout is made for a bundle loading of {_percent(stated)}"
        text = f"{made}, not for {_percent(least)} or a column above"
        yield Breach("layout", off, "of the ampacity", text)


def bundle_loading(context: Context) -> Iterator[Breach]:
    """In no condition do the wires of a segment carry more than all of their ampacities."""
    if context.crowd.loading is None:
        return
    for bundle in bundles_of(context):
        condition, loading = bundle.fullest
        over = excess(loading, 1.0) if bundle.wires >= 2 else 0.0
        if over > 0.0:
            text = (
                f"segment {bundle.name} with {bundle.wires} wires is loaded to {_percent(loading)} in {condition}, "
                f"{_percent(over)} over all that its wires carry together"
            )
            yield Breach(f"segment {bundle.name}", over, "of the ampacity", text)


def overloaded(context: Context) -> dict[int, float]:
    """Segments of two wires or more that are loaded more than their column says, with the column that serves."""
    return {
        bundle.segment: next_loading(min(1.0, bundle.fullest[1]))
        for bundle in bundles_of(context)
        if bundle.wires >= 2 and excess(bundle.fullest[1], context.crowd.column(bundle.segment)) > 0.0
        if context.crowd.column(bundle.segment) < 1.0
    }


def _percent(share: float) -> str:
    return f"{number(100.0 * share)} %"


def _laid(context: Context) -> Iterator[_Laid]:
    """Every conductor of a layout with its current in each condition.

    A wire has the nominal heating currents of its loads, a feed the current of its unit, which holds spreads.
    """
    conditions = range(len(context.problem.conditions))
    for name, feed in context.feeds.items():
        circuits = context.on_unit(name)
        yield _Laid(feed, 1, tuple(context.heating_a(circuits, m) for m in conditions), True)
    for branch in context.branches:
        for n, conductor in branch.pairs():
            loads = [context.problem.load[name] for name in carried(branch, n) if name in context.problem.load]
            together = (sum(load.current_a * load.heating(m) for load in loads) for m in conditions)
            yield _Laid(conductor, 1, tuple(current / divided(branch, n) for current in together), True)
    for given in context.given:
        if given.conductor is not None and given.wire is not None:
            current = given.wire.current_a
            yield _Laid(given.conductor, given.wire.cores, (current,) * len(conditions), current > 0.0)


def _bundle(context: Context, segment: int, laid: list[_Laid]) -> Bundle:
    loaded = [one for one in laid if one.counts and one.conductor.ampacity_a is not None]
    ampacity = sum(one.cores * (one.conductor.ampacity_a or 0.0) for one in loaded)
    currents = [
        sum(one.cores * one.currents_a[m] for one in loaded) for m in range(len(context.problem.conditions))
    ]
    shares = [current / ampacity if ampacity > 0.0 else 0.0 for current in currents]
    wires = sum(one.cores for one in laid if one.counts)
    column = None if context.crowd.loading is None else context.crowd.column(segment)
    square_mm2, sized = _squares(laid)
    return Bundle(
        segment=segment,
        name=context.problem.segments[segment].name,
        wires=wires,
        cores=sum(one.cores for one in laid),
        loading=tuple(zip(context.problem.conditions, shares, strict=True)),
        diameter_mm=sqrt(square_mm2) * (PACKING if sized > 1 else 1.0),
        filled_mm2=square_mm2 * pi / 4.0,
        column=column,
        factor=None if column is None else bundle_factor(wires, column),
    )


def _squares(laid: list[_Laid]) -> tuple[float, int]:
    """Squared diameters of all wires, and how many; one of unknown size takes no room, and another rule names it."""
    rows = [(one.cores, completed(one.conductor.row)) for one in laid if one.conductor.row is not None]
    return sum(cores * (row.diameter_mm or 0.0) ** 2 for cores, row in rows), sum(cores for cores, _ in rows)
