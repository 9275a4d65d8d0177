"""How much of each limit a layout uses: wire by wire, and the weakest places with what would relieve them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from allocator.analysis import wider_margins
from allocator.evaluation.branches import Branch, Fed
from allocator.evaluation.bundle_figures import bundles_of
from allocator.evaluation.context import Context
from allocator.evaluation.decisions import trip_needed_a
from allocator.evaluation.direct_loads import drop_limit_v
from allocator.evaluation.laid_conductors import Conductor
from allocator.evaluation.prepare import prepare
from allocator.evaluation.resolved_circuits import drops_v
from allocator.layout import Layout
from allocator.notebook import shown
from allocator.once import once
from allocator.problem import Bundling, Load, Problem
from allocator.table import Table, columns_of, table_of

if TYPE_CHECKING:
    from pandas import DataFrame

AMPACITY = "ampacity"
BUNDLE = "heat of bundle"
LOADING = "loading of bundle"
DROP = "drop"
OUTPUT = "output"
BANK = "bank"
UNIT = "unit"
STUD = "stud"
FUSE = "fuse over load"
TRIP = "trip over load"

KINDS = (AMPACITY, BUNDLE, LOADING, UNIT, BANK, OUTPUT, STUD, DROP, FUSE, TRIP)
"""In this order where two are equally weak: first what burns, then what only stops."""

SHOWN = 5
OF_ONE_KIND = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Margin:
    """One limit and what is used of it: ``value`` may be up to ``limit``; ``relief`` says what would widen it.

    ``ampacity``: trip, fuse or given current against what the wire carries. ``drop``: of a load at its full
    current, or of a feed, against its limit. ``trip over load``: the least trip that the margin asks for against
    the trip set. ``fuse over load``: current against what the fuse is used for. ``output``, ``unit``, ``bank``:
    current, with what is kept spare, against rating with its use. ``stud``: current in the worst condition against
    its limit. ``heat of bundle``: what all wires of a segment give in the worst condition, one of them at its trip;
    ``loading of bundle``: where the table holds bundles, against the loading stated.
    ``alike`` counts others that stand for the same, where they are gathered.
    """

    kind: str
    object: str
    value: float
    limit: float
    unit: str
    relief: str
    alike: int = 0

    @property
    def used(self) -> float:
        """Share of the limit; above 1 it is passed, infinite where nothing at all is allowed."""
        if self.limit > 0.0:
            return self.value / self.limit
        return float("inf") if self.value > 0.0 else 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class WireMargins:
    """What is left at one wire, feed or core; None where it does not apply or cannot be told.

    ``guard_a`` is the trip or fuse it sits behind, ``guard_over_load`` that over the current which may flow
    there (of a parallel group with ``parallel_use``), ``guard_under_wire_a`` how far it lies below the ampacity,
    ``drop_used`` the share of the drop limit of the load that is worst off behind the wire.
    """

    wire: str
    size: str
    current_a: float
    guard_a: float | None
    ampacity_a: float | None
    ampacity_used: float | None
    guard_over_load: float | None
    guard_under_wire_a: float | None
    drop_used: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LayoutMargins:
    """Every wire, in the order of the layout; every margin, the weakest first."""

    wires: tuple[WireMargins, ...]
    margins: tuple[Margin, ...]

    def weakest(self, count: int = SHOWN) -> tuple[Margin, ...]:
        """The weakest, alike ones counted as one, and no more than two of a kind while there are others."""
        ahead: list[Margin] = []
        behind: list[Margin] = []
        for one in _gathered(self.margins):
            of_kind = sum(other.kind == one.kind for other in ahead)
            (ahead if of_kind < OF_ONE_KIND else behind).append(one)
        first = ahead[:count]
        return tuple(sorted((*first, *behind[: count - len(first)]), key=_weakness))

    def _repr_html_(self) -> str:
        keys = ("kind", "object", "value", "limit", "unit", "used", "relief")
        return shown("Margins, weakest first", [], self.table().only(*keys))

    def table(self) -> Table:
        """One row per margin, the weakest first; columns as in `Margin`, and ``used``."""
        return table_of(columns_of(Margin, "used"), self.margins)

    def wire_table(self) -> Table:
        """One row per wire; columns as in `WireMargins`."""
        return table_of(columns_of(WireMargins), self.wires)

    def frame(self) -> DataFrame:
        """The margins for pandas."""
        return self.table().frame()

    def wire_frame(self) -> DataFrame:
        """The wires for pandas."""
        return self.wire_table().frame()


def margins(problem: Problem, layout: Layout) -> LayoutMargins:
    """The margins of a layout, also of one made by hand, which is completed first."""
    return margins_of(prepare(problem, layout))


@once
def margins_of(context: Context) -> LayoutMargins:
    """The margins of a layout, all recomputed from its decisions; what cannot be told is left out."""
    found = (
        *(margin for branch in context.branches for margin in _of_branch(context, branch)),
        *_of_feeds(context),
        *_of_given(context),
        *_of_units(context),
        *_of_studs(context),
        *_of_bundles(context),
    )
    return LayoutMargins(wires=tuple(_wires(context)), margins=tuple(sorted(found, key=_weakness)))


def _weakness(one: Margin) -> tuple[float, int, str]:
    # figures that come out of different sums are the same to twelve digits
    return -round(one.used, 12), KINDS.index(one.kind), one.object


def _gathered(found: Iterable[Margin]) -> tuple[Margin, ...]:
    """Margins of one kind that use the same of the same limit become one, with the number of the others."""
    first: dict[tuple[str, float, float], Margin] = {}
    for one in found:
        key = (one.kind, round(one.value, 9), round(one.limit, 9))
        before = first.get(key)
        first[key] = one if before is None else replace(before, alike=before.alike + 1)
    return tuple(first.values())


def _of_branch(context: Context, branch: Branch) -> Iterator[Margin]:
    for n, conductor in branch.pairs():
        text = wider_margins.of_wire(context, branch, n)
        yield from _margin(AMPACITY, conductor.label, conductor.guard_a, conductor.ampacity_a, "A", text)
    for load, drop in _drops(context, branch):
        limit = drop_limit_v(context.problem, load)
        yield from _margin(DROP, f"load {load.name}", drop, limit, "V", wider_margins.of_drop(context, branch, load))
    if branch.guard_a is None:
        return
    if not isinstance(branch, Fed):
        limit, text = context.problem.margins.fuse_use * branch.guard_a, wider_margins.of_fuse(branch.guard_a, branch)
        yield from _margin(FUSE, branch.label, branch.current_a, limit, "A", text)
        return
    needed = trip_needed_a(context.problem, branch)
    yield from _margin(TRIP, branch.label, needed, branch.guard_a, "A", wider_margins.of_trip(branch))
    if branch.rating_a is not None:
        each = branch.current_a / (branch.parallel * branch.parallel_use)
        limit = branch.rating_a * context.problem.margins.output_use
        yield from _margin(OUTPUT, branch.label, each, limit, "A", wider_margins.of_output(branch))


def _of_feeds(context: Context) -> Iterator[Margin]:
    limit = context.problem.margins.feed_drop * context.problem.running_v
    for feed in context.feeds.values():
        carried = wider_margins.of_conductor(context, feed)
        yield from _margin(AMPACITY, feed.label, feed.guard_a, feed.ampacity_a, "A", carried)
        yield from _margin(DROP, feed.label, feed.drop_v, limit, "V", wider_margins.of_feed_drop(context, feed))
        if feed.guard_a is not None:
            use, text = context.problem.margins.fuse_use * feed.guard_a, wider_margins.of_fuse(feed.guard_a, feed)
            yield from _margin(FUSE, feed.label, feed.current_a, use, "A", text)


def _of_given(context: Context) -> Iterator[Margin]:
    for given in context.given:
        if given.conductor is not None and given.wire is not None and given.wire.current_a > 0.0:
            one, text = given.conductor, wider_margins.of_conductor(context, given.conductor)
            yield from _margin(AMPACITY, one.label, given.wire.current_a, one.ampacity_a, "A", text)


def _of_units(context: Context) -> Iterator[Margin]:
    use = context.problem.margins.unit_use
    for name, mounted in context.mounted.items():
        spare = mounted.unit.spare_current_a
        rated = [(UNIT, f"unit {name}", mounted.type.continuous_a, context.on_unit(name), spare)]
        for bank in mounted.type.banks:
            fed = tuple(one for one in context.on_unit(name) if bank.name in one.banks)
            rated.append((BANK, f"bank {bank.name} of unit {name}", bank.continuous_a, fed, 0.0))
        for kind, what, rating, circuits, kept in rated:
            worst = max(context.heating_a(circuits, m) for m in range(len(context.problem.conditions)))
            text = wider_margins.of_rating(context, mounted, circuits, kind)
            yield from _margin(kind, what, worst + kept, rating * mounted.hot * use, "A", text)


def _of_studs(context: Context) -> Iterator[Margin]:
    conditions = range(len(context.problem.conditions))
    for place in context.problem.places:
        loads = context.returning_to(place.name)
        if place.stud_a is not None and loads:
            worst = max(sum(load.current_a * load.heating(m) for load in loads) for m in conditions)
            yield from _margin(
                STUD, f"stud {place.name}", worst, place.stud_a, "A", wider_margins.of_stud(context, loads)
            )


def _of_bundles(context: Context) -> Iterator[Margin]:
    for bundle in bundles_of(context):
        one = bundle.warmest
        if one is not None:
            what = f"bundle {bundle.name} in condition {one.condition}"
            text = wider_margins.of_bundle(context, bundle, one)
            yield from _margin(BUNDLE, what, one.heat_w_m + one.worst_w_m, one.allowed_w_m, "W/m", text)
        most, loading = context.problem.stated_of(context.problem.segments[bundle.segment])
        if context.problem.margins.bundle is Bundling.TABLE and most > 1 and bundle.wires:
            condition, share = bundle.fullest
            what = f"bundle {bundle.name} in condition {condition}"
            text = "heavier wire in it, or a way round it for some of them"
            yield from _margin(LOADING, what, 100.0 * share, 100.0 * loading, "%", text)


def _margin(kind: str, what: str, value: float | None, limit: float | None, unit: str, text: str) -> Iterator[Margin]:
    if value is not None and limit is not None:
        yield Margin(kind=kind, object=what, value=value, limit=limit, unit=unit, relief=text)


def _drops(context: Context, branch: Branch) -> Iterator[tuple[Load, float]]:
    drops = drops_v(branch, context.problem.margins.splice_wires)
    for load in branch.loads:
        drop = drops[load.name]
        if drop is not None:
            yield load, drop


def _wires(context: Context) -> Iterator[WireMargins]:
    for branch in context.branches:
        used = {load.name: drop / drop_limit_v(context.problem, load) for load, drop in _drops(context, branch)}
        use = branch.parallel_use if isinstance(branch, Fed) else 1.0
        each = branch.current_a / (branch.parallel * use)
        for n, conductor in branch.pairs():
            behind = [used[name] for name in branch.wires[n].loads if name in used]
            yield _wire(conductor, branch.guard_a, each, max(behind, default=None))
    for feed in context.feeds.values():
        limit = context.problem.margins.feed_drop * context.problem.running_v
        drop = None if feed.drop_v is None else feed.drop_v / limit
        yield _wire(feed, feed.guard_a, feed.current_a, drop)
    for given in context.given:
        if given.conductor is not None:
            yield _wire(given.conductor, None, given.conductor.current_a, None)


def _wire(one: Conductor, guard_a: float | None, load_a: float, drop_used: float | None) -> WireMargins:
    bears = one.ampacity_a
    against = one.current_a if one.guard_a is None else one.guard_a
    return WireMargins(
        wire=one.label,
        size="" if one.row is None else one.row.size,
        current_a=one.current_a,
        guard_a=one.guard_a,
        ampacity_a=bears,
        ampacity_used=against / bears if bears else None,
        guard_over_load=guard_a / load_a if guard_a is not None and load_a > 0.0 else None,
        guard_under_wire_a=bears - one.guard_a if bears is not None and one.guard_a is not None else None,
        drop_used=drop_used,
    )
