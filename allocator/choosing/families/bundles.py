"""Bundles of watched segments: the heat of their wires, or what is stated for them; and cables side by side."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from allocator.choosing.families.currents import slot_current
from allocator.choosing.keys import BesideCable, BundleHeat, BundleLoading, BundleWires, SideBySide
from allocator.choosing.lying import Lying, of_conductor, of_core, of_feed
from allocator.choosing.rows import Row, Variable, at_least, at_most, equal
from allocator.choosing.variables import Term, Variables, most_often
from allocator.pricing import Option
from allocator.pricing.bench import with_bundle
from allocator.problem import Bundling
from allocator.wiring import Surroundings, surroundings_of
from allocator.wiring.bundle_heat import BESIDE, SQUARES_STEP_MM2, TOLERANCE, beside_cable_a, square_mm2

LEAST_OF_HOTTEST = 0.6
"""Rows for the hottest wire are made of loads that may add this share of what was too hot; others as they are met."""


@dataclass(frozen=True, slots=True)
class Taker:
    """What may lie in a segment by one variable (None: it lies there).

    ``lines`` is what one of it lays there, ``most`` how often it may be taken. Of a ``group`` as many are taken as
    ``choices``, each counted ``weight`` times.
    """

    variable: Variable | None
    lines: tuple[Lying, ...]
    group: tuple[str, int | str]
    most: int = 1
    weight: int = 1
    choices: int = 1
    slot: int | None = None

    def add_up(self, figure: Callable[[Lying], float]) -> float:
        """A figure of all its lines together."""
        return sum(one.count * figure(one) for one in self.lines)

    @property
    def alike(self) -> tuple[object, ...]:
        """What is the same of takers that lay the same wires under the same currents."""
        return tuple((one.wire, one.currents_a) for one in self.lines)

    @property
    def squares_mm2(self) -> float:
        """Sum of the squared diameters."""
        return self.add_up(lambda one: square_mm2(one.wire.wire))


def takers(v: Variables, e: int, *, beside: bool) -> list[Taker]:
    """All that may lie in the bundle of a segment, or beside it."""
    pricing, problem = v.pricing, v.pricing.problem
    found: list[Taker] = []

    def here(laid: Iterator[Lying]) -> tuple[Lying, ...]:
        return tuple(one for one in laid if e in one.route.segments and one.beside is beside)

    for option in pricing.options:
        lines = here(of_conductor(problem, own) for own in option.conductors)
        if lines:
            member, n, loads = _tightest(v, option)
            group = ("load", member)
            found.append(Taker(v.take[option.index], lines, group, most_often(pricing, option), n, loads))
    for direct in pricing.direct:
        lines = here(of_conductor(problem, own) for own in direct.plan.conductors)
        if lines:
            found.append(Taker(v.direct[direct.index], lines, ("direct", direct.load.name)))
    for feed in pricing.feeds:
        lines = here(iter([of_feed(problem, feed)]))
        if lines:
            found.append(Taker(v.feed[feed.index], lines, ("feed", feed.slot), slot=feed.slot))
    for n, core in enumerate(pricing.given):
        lines = here(iter([of_core(problem, core)]))
        if lines:
            found.append(Taker(None, lines, ("given", n)))
    return found


def _tightest(v: Variables, option: Option) -> tuple[int, int, int]:
    """Of the groups that an option feeds the one of fewest loads: its number, how many are fed, how many there are."""
    members = ((g, n, len(v.pricing.alike[g].loads)) for g, n in option.candidate.members)
    return min(members, key=lambda member: (member[2], member[0]))


def alternatives(found: Sequence[Taker]) -> dict[tuple[str, int | str], list[Taker]]:
    """Takers by group."""
    groups: dict[tuple[str, int | str], list[Taker]] = {}
    for taker in found:
        groups.setdefault(taker.group, []).append(taker)
    return groups


def most_of(found: Sequence[Taker], figure: Callable[[Taker], float]) -> float:
    """The most that a figure may come to over all that is taken: of each group the greatest, as often as it may be."""
    return sum(
        max(figure(own) / own.weight for own in group) * group[0].choices for group in alternatives(found).values()
    )


def terms_of(found: Sequence[Taker], figure: Callable[[Taker], float]) -> tuple[list[Term], float]:
    """A figure over all that is taken: terms of the model, and what lies there whatever is chosen."""
    terms = [(own.variable, figure(own)) for own in found if own.variable is not None]
    return terms, sum(figure(own) for own in found if own.variable is None)


def bundle_heat_rows(v: Variables) -> Iterator[Row]:
    """``H[e, m] + W[e, m] <= a^2 (Q(S*) + Q'(S*) (S[e] - S*))`` per watched segment, condition and watched ``S*``.

    ``S = sum d^2 x`` fixes the diameter, ``H = sum r I^2 x`` is what all wires give. ``W >= v[o](S*) x[o]``, where the
    bundle holds ``S*`` or more: what a wire adds that carries its trip. The free heat ``Q`` bends down over ``S`` and
    ``v`` rises with it, so each row holds for every bundle and is exact for that of ``S*``. Beside a cable the right
    side is ``0.825^2`` of that.
    """
    if v.pricing.problem.margins.bundle is not Bundling.HEAT:
        return
    for e, squares in v.pricing.watch.bundles.items():
        around = surroundings_of(v.pricing.problem, e)
        bundle = takers(v, e, beside=False)
        if around is not None and bundle:
            yield from _Heat(v, e, around, bundle, takers(v, e, beside=True)).rows(squares)


class _Heat:
    """The rows of one segment."""

    def __init__(self, v: Variables, e: int, around: Surroundings, bundle: list[Taker], cables: list[Taker]):
        self.v, self.e, self.around, self.bundle, self.cables = v, e, around, bundle, cables
        self.groups = list(alternatives(bundle).values())
        self.most_mm2 = most_of(bundle, lambda own: own.squares_mm2)
        self.squares = v.add(f"squares[{e}]", None, integer=False)
        self.beside = v.add(f"beside[{e}]") if cables else None

    def rows(self, squares: Sequence[float]) -> Iterator[Row]:
        terms, there = terms_of(self.bundle, lambda own: own.squares_mm2)
        yield equal(f"squares[{self.e}]", [(self.squares, -1.0), *terms], -there)
        if self.beside is not None:
            yield from present(f"beside[{self.e}]", self.beside, self.cables)
            yield from self._too_hot_beside(self.beside)
        relief = list(self._several())
        yield from (row for row, _ in relief)
        lone = [term for _, term in relief]
        steps = [(at, self._fuller(n)) for n, at in enumerate(squares)]
        for n, (at, fuller) in enumerate(steps):
            lacking = max(0.0, self.most_mm2 - at + SQUARES_STEP_MM2 / 2)
            row_terms = [(self.squares, 1.0), (fuller, -lacking)]
            yield at_most(f"fuller[{self.e},{n}]", row_terms, at - SQUARES_STEP_MM2 / 2)
        for (_, low), (_, high) in pairwise(steps):
            yield at_most(f"rising[{high.name}]", [(high, 1.0), (low, -1.0)], 0)
        for m in self.v.pricing.watch.conditions.get(self.e, ()):
            yield from self._in_condition(m, steps, lone)

    def _fuller(self, n: int) -> Variable:
        return self.v.add(f"fuller[{self.e},{n}]")

    def _given(self, own: Taker, m: int) -> float:
        def gives(one: Lying) -> float:
            return self.around.given_w_m(one.wire.wire, one.currents_a[m]) if one.currents_a else 0.0

        return own.add_up(gives)

    def _in_condition(self, m: int, steps: Sequence[tuple[float, Variable]], lone: list[Term]) -> Iterator[Row]:
        v, e = self.v, self.e
        heat = v.add(f"heat[{e},{m}]", None, integer=False)
        worst = v.add(f"worst[{e},{m}]", None, integer=False)
        terms, there = terms_of(self.bundle, lambda own: self._given(own, m))
        feeds = [own for own in self.bundle if own.slot is not None]
        carried = {own.slot: v.add(f"feedheat[{e},{own.slot},{m}]", None, integer=False) for own in feeds}
        yield at_least(
            f"heat[{e},{m}]", [(heat, 1.0), *((x, -c) for x, c in terms), *((x, -1.0) for x in carried.values())], there
        )
        for slot, x in carried.items():
            yield from self._feed_heat(m, slot, x, [own for own in feeds if own.slot == slot])
        yield from self._worst(m, worst, None, None, carried)
        for at, fuller in steps:
            yield from self._worst(m, worst, at, fuller, carried)
        given = [(heat, 1.0), (worst, 1.0)]
        share = self.around.allowance**2 * (1.0 - v.pricing.watch.kept_back)
        for n, (at, _) in enumerate(steps):
            slope = share * self.around.slope_w_m(at)
            free = share * self.around.free_w_m(at) * (1.0 + TOLERANCE / 10) - slope * at
            over = sum(c for _, c in lone)
            yield at_most(BundleHeat(e, m, n, False), [*given, (self.squares, -slope), *lone], free + over)
            if self.beside is not None:
                g = BESIDE**2
                room = (1.0 - g) * (free + slope * self.most_mm2)
                beside = [*given, (self.squares, -g * slope), (self.beside, room), *lone]
                yield at_most(BundleHeat(e, m, n, True), beside, g * free + room + over)

    def _worst(
        self,
        m: int,
        worst: Variable,
        at_mm2: float | None,
        fuller: Variable | None,
        carried: dict[int | None, Variable],
    ) -> Iterator[Row]:
        """``W >= sum_o v[o] x[o] - V (1 - z)`` per load, ``z``: the bundle holds so much or more."""
        around = self.around

        def adds(own: Taker) -> float:
            at = own.squares_mm2 if at_mm2 is None else max(at_mm2, own.squares_mm2)
            if own.slot is not None:  # what it carries is a variable: with it, W holds all that it gives at its fuse
                one = own.lines[0]
                return around.given_w_m(one.wire.wire, one.wire.trip_a) + around.spread_w_m(one.wire, at)
            return max(around.added_w_m(one.at(m), at) for one in own.lines)

        least = LEAST_OF_HOTTEST * self.v.pricing.watch.hottest_w_m[self.e]
        for n, group in enumerate(self.groups):
            for k, (some, taken) in enumerate(self._at_once(n, group)):
                most = max(adds(own) for own in some)
                if most < least:
                    continue
                left = [(worst, 1.0)]
                if some[0].slot is not None:
                    left.append((carried[some[0].slot], 1.0))
                terms = [(x, -adds(own)) for own, x in zip(some, taken, strict=True) if x is not None]
                there = sum(adds(own) for own in some if own.variable is None)
                tag = f"worst[{self.e},{m},{n},{k},{at_mm2}]"
                unless = [] if fuller is None else [(fuller, -most)]
                yield at_least(tag, [*left, *terms, *unless], there - (most if fuller is not None else 0.0))
                yield from self._any_of(n, k, some)

    def _at_once(self, n: int, group: list[Taker]) -> Iterator[tuple[list[Taker], list[Variable | None]]]:
        """Takers of which one is taken at the most, and what says so: all of one load; of alike loads, alike wires."""
        if group[0].choices == 1:
            yield group, [own.variable for own in group]
            return
        alike: dict[tuple[object, ...], list[Taker]] = {}
        for own in group:
            alike.setdefault(own.alike, []).append(own)
        for k, some in enumerate(alike.values()):
            key = (self.e, n, k)
            if key not in self.v.present:
                self.v.present[key] = self.v.add(f"present[{self.e},{n},{k}]")
            yield some[:1], [self.v.present[key]]

    def _any_of(self, n: int, k: int, some: list[Taker]) -> Iterator[Row]:
        """``sum_o n[o] x[o] <= n present`` over alike wires of alike loads."""
        key = (self.e, n, k)
        if key not in self.v.present or key in self.v.held:
            return
        self.v.held.add(key)
        own = [x for x in self.bundle if x.group == some[0].group and x.alike == some[0].alike]
        terms = [(x.variable, float(x.weight)) for x in own if x.variable is not None]
        yield at_most(f"present[{self.e},{n},{k}]", [*terms, (self.v.present[key], -float(own[0].choices))], 0)

    def _feed_heat(self, m: int, slot: int | None, heat: Variable, feeds: list[Taker]) -> Iterator[Row]:
        """``h >= r (2 I* I - I*^2) - M (1 - feed)``: a feed gives ``r I^2``, held from below where it was met."""
        assert slot is not None
        own_slot = self.v.pricing.slots[slot]
        current = slot_current(self.v, own_slot, None, m)
        for feed in feeds:
            ohm = self.around.given_w_m(feed.lines[0].wire.wire, 1.0)
            most = (own_slot.limit_ma + own_slot.spare_current_ma) / 1000.0
            for n, at in enumerate(self.v.pricing.watch.feeds.get(slot, ())):
                slope = 2.0 * ohm * at
                room = max(0.0, slope * most - ohm * at**2)
                assert feed.variable is not None
                terms = [(heat, 1.0), *((x, -slope * c / 1000.0) for x, c in current), (feed.variable, -room)]
                spare = slope * own_slot.spare_current_ma / 1000.0
                yield at_least(
                    f"feedheat[{self.e},{slot},{feed.variable.name},{m},{n}]",
                    [*terms, (self.v.fit[slot], -spare)],
                    -ohm * at**2 - room,
                )

    def _too_hot_beside(self, beside: Variable) -> Iterator[Row]:
        """``sum_o n[o] x[o] <= n (1 - beside)`` over what carries more than it may beside a cable."""
        for n, group in enumerate(self.groups):
            hot = [
                own
                for own in group
                if any(one.wire.trip_a > beside_cable_a(one.wire.wire, self.around) * (1.0 + 1e-9) for one in own.lines)
            ]
            if hot:
                terms = [(own.variable, float(own.weight)) for own in hot if own.variable is not None]
                there = sum(1 for own in hot if own.variable is None)
                yield at_most(
                    BesideCable(self.e, n), [*terms, (beside, float(group[0].choices))], group[0].choices - there
                )

    def _several(self) -> Iterator[tuple[Row, Term]]:
        """Where the rows would hold a wire that lies alone: ``- M (1 - several)``, with ``wires <= 1 + N several``."""
        share = self.around.allowance**2
        over = 0.0
        for own in self.bundle:
            if own.add_up(lambda _: 1.0) == 1:
                one, at = own.lines[0], own.squares_mm2
                gives = self.around.given_w_m(one.wire.wire, one.wire.trip_a) + self.around.spread_w_m(one.wire, at)
                over = max(over, gives - share * BESIDE**2 * self.around.free_w_m(at))
        if over <= 0.0:
            return
        several = self.v.add(f"several[{self.e}]")
        terms, there = terms_of(self.bundle, lambda own: own.add_up(lambda _: 1.0))
        most = most_of(self.bundle, lambda own: own.add_up(lambda _: 1.0))
        yield at_most(f"several[{self.e}]", [*terms, (several, -most)], 1 - there), (several, over)


def present(name: str, some: Variable, found: Sequence[Taker]) -> Iterator[Row]:
    """``sum_o n[o] x[o] <= n some`` per group: 1 where anything is taken."""
    for n, group in enumerate(alternatives(found).values()):
        terms = [(own.variable, float(own.weight)) for own in group if own.variable is not None]
        if terms:
            yield at_most(f"{name},{n}", [*terms, (some, -float(group[0].choices))], 0)
        else:
            yield at_least(f"{name},{n}", [(some, 1.0)], 1)


def as_stated(v: Variables) -> Iterator[Row]:
    """``sum_o n[o] x[o] <= wires[e]`` and ``sum_o (I[o, m] - loading[e] A[o]) x[o] <= 0`` per watched segment.

    The factor of the table is in the ampacities ``A``: it is that of the wires and the loading stated.
    """
    problem = v.pricing.problem
    if problem.margins.bundle is not Bundling.TABLE:
        return
    for e in v.pricing.watch.bundles:
        most, loading = problem.stated_of(problem.segments[e])
        bundle = takers(v, e, beside=False)
        terms, there = terms_of(bundle, lambda own: own.add_up(lambda _: 1.0))
        yield at_most(BundleWires(e), terms, most - there)
        feeds = [own for own in bundle if own.slot is not None]
        for m in range(len(problem.conditions)) if most > 1 else ():

            def over(own: Taker, m: int = m, loading: float = loading) -> float:
                return own.add_up(lambda one: (one.currents_a[m] if one.currents_a else 0.0) - loading * one.ampacity_a)

            terms, there = terms_of(bundle, over)
            for slot in sorted({own.slot for own in feeds if own.slot is not None}):
                carried = v.add(f"feedcurrent[{e},{slot},{m}]", None, integer=False)
                yield _carried_here(v, e, slot, m, carried, [own for own in feeds if own.slot == slot])
                terms.append((carried, 1.0))
            yield at_most(BundleLoading(e, m), terms, -there)


def _carried_here(v: Variables, e: int, slot: int, m: int, carried: Variable, feeds: Sequence[Taker]) -> Row:
    """``c >= I[s, m] - M (1 - sum_g feed[s, g])``: the current of a slot, where its feed passes the segment."""
    own = v.pricing.slots[slot]
    most = (own.limit_ma + own.spare_current_ma) / 1000.0
    current = [(x, -c / 1000.0) for x, c in slot_current(v, own, None, m)]
    spare = [(v.fit[slot], -own.spare_current_ma / 1000.0)]
    here = [(feed.variable, -most) for feed in feeds if feed.variable is not None]
    return at_least(f"feedcurrent[{e},{slot},{m}]", [(carried, 1.0), *current, *spare, *here], -most)


def cables_side_by_side(v: Variables) -> Iterator[Row]:
    """``C[e] + sum_g (N - n[g]) g <= N`` per watched segment, feed of a slot, direct load and given cable.

    ``C`` counts the cables of a segment, and their bundle where wires may pass; ``n[g]`` is the most that a cable lies
    beside, itself among them, ``N`` the most there can be.
    """
    for e in v.pricing.watch.cables:
        cables = takers(v, e, beside=True)
        if not cables:
            continue
        bundle = with_bundle(v.pricing.problem, e) - 1
        most = most_of(cables, lambda own: own.add_up(lambda _: 1.0)) + bundle
        count = v.add(f"sidebyside[{e}]", None, integer=False)
        terms, there = terms_of(cables, lambda own: own.add_up(lambda _: 1.0))
        yield at_least(f"sidebyside[{e}]", [(count, 1.0), *((x, -c) for x, c in terms)], there + bundle)
        for n, group in enumerate(alternatives(cables).values()):
            lacking = [(own, max(0.0, most - min(_beside(one) for one in own.lines))) for own in group]
            terms = [(own.variable, c) for own, c in lacking if own.variable is not None]
            there = sum(c for own, c in lacking if own.variable is None)
            if any(c for _, c in lacking):
                yield at_most(SideBySide(e, n), [(count, 1.0), *terms], most - there)


def _beside(one: Lying) -> float:
    return float("inf") if one.at_most is None else float(one.at_most)
