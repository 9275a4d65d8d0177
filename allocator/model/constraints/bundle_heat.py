"""The heat of bundles in segments with lazy rows: all wires at what they carry, any one of them at its trip."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import inf

from allocator.model.constraints.currents import most_drawn_ma, slot_current
from allocator.model.keys import BesideCable, BundleHeat
from allocator.model.laid_line import LaidLine
from allocator.model.rows import Row, Variable, at_least, at_most, equal
from allocator.model.takers import Taker, alternatives, least_of, most_of, present, takers, terms_of
from allocator.model.variables import Term, Variables
from allocator.problem import Bundling
from allocator.wiring import BundledWire, Surroundings, surroundings_of
from allocator.wiring.bundle_heat import BESIDE, SQUARES_STEP_MM2, TOLERANCE, beside_cable_a, square_mm2

LEAST_OF_HOTTEST = 0.6
"""Rows for the hottest wire are made of loads that may add this share of what was too hot; others as they are met."""

NEAR = 1e-5
"""A bundle counts as warm as a level where its heat is within this share of it: else rounding would let it slip."""

SAMPLES = 24
"""At so many diameters a tangent is compared with the curve that it has to lie above."""


def bundle_heat_rows(v: Variables) -> Iterator[Row]:
    """``H[e, m] <= F[o](S*) + F'[o](S*) (S[e] - S*) + M (1 - x[o])`` per lazy segment, condition, wire and ``S*``.

    ``S = sum d^2 x`` fixes the diameter, ``H = sum r I^2 x`` is what all wires give, ``F[o] = a^2 Q - v[o]`` what is
    left of the free heat ``Q`` where wire *o* carries its trip. ``F`` is concave in ``S``, so each row holds for
    every bundle and is exact for that of ``S*``. Beside a cable ``a^2 Q`` is ``0.825^2`` of that.
    """
    if v.option_list.problem.margins.bundle is not Bundling.HEAT:
        return
    for e, squares in v.option_list.lazy.bundles.items():
        around = surroundings_of(v.option_list.problem, e)
        bundle = takers(v, e, beside=False)
        if around is not None and bundle:
            yield from _Segment(v, e, around, bundle, takers(v, e, beside=True)).rows(squares)


@dataclass(frozen=True, slots=True)
class _Allowed:
    """What a bundle may give, as a share of its free heat; the variable (if any) without which it is not held so."""

    share: float
    only: Variable | None = None


@dataclass(frozen=True, slots=True)
class _Line:
    """A figure over the squares of a bundle: ``at_0 + slope S``."""

    at_0: float
    slope: float

    def at(self, squares_mm2: float) -> float:
        return self.at_0 + self.slope * squares_mm2

    def most_over(self, other: _Line, most_mm2: float) -> float:
        """The most by which it exceeds another, up to so many squares."""
        return max(self.at(end) - other.at(end) for end in (0.0, most_mm2))


class _Segment:
    """The rows of one segment."""

    def __init__(self, v: Variables, e: int, around: Surroundings, bundle: list[Taker], cables: list[Taker]):
        self.v, self.e, self.around, self.bundle, self.cables = v, e, around, bundle, cables
        self.groups = list(alternatives(bundle).values())
        self.least_mm2 = least_of(v, bundle, lambda own: own.squares_mm2)
        self.most_mm2 = most_of(bundle, lambda own: own.squares_mm2)
        self.squares = v.add(f"squares[{e}]", self.most_mm2, integer=False)
        self.beside = v.add(f"beside[{e}]") if cables else None
        self.lines: dict[tuple[BundledWire, float, float], _Line] = {}
        self.most_added: dict[tuple[int, int, int], float] = {}

    @cached_property
    def allowed(self) -> list[_Allowed]:
        """What the bundle may give, and what it may beside a cable."""
        share = self.around.allowance**2 * (1.0 - self.v.option_list.lazy.kept_back)
        beside = [] if self.beside is None else [_Allowed(share * BESIDE**2, self.beside)]
        return [_Allowed(share), *beside]

    def rows(self, squares: Sequence[float]) -> Iterator[Row]:
        """Its diameter, cables beside it, and its heat in each condition with lazy rows."""
        terms, there = terms_of(self.bundle, lambda own: own.squares_mm2)
        yield equal(f"squares[{self.e}]", [(self.squares, -1.0), *terms], -there)
        if self.beside is not None:
            yield from present(f"beside[{self.e}]", self.beside, self.cables)
            yield from self._too_hot_beside(self.beside)
        relief = list(self._several())
        yield from (row for row, _ in relief)
        lone = [term for _, term in relief]
        for m in self.v.option_list.lazy.conditions.get(self.e, ()):
            yield from self._in_condition(m, squares, lone)

    def _in_condition(self, m: int, squares: Sequence[float], lone: list[Term]) -> Iterator[Row]:
        v, e = self.v, self.e
        terms, there = terms_of(self.bundle, lambda own: self._given(own, m))
        feeds = [own for own in self.bundle if own.slot is not None]
        of_feeds = {own.slot: max(self._most_given(x, m) for x in feeds if x.slot == own.slot) for own in feeds}
        most = most_of(self.bundle, lambda own: self._given(own, m)) + sum(of_feeds.values())
        heat = v.add(f"heat[{e},{m}]", most, integer=False)
        worst = v.add(f"worst[{e},{m}]", max(map(self._adds_at_least(m), self.bundle)), integer=False)
        carried = {slot: v.add(f"feedheat[{e},{slot},{m}]", most, integer=False) for slot, most in of_feeds.items()}
        given = [(heat, 1.0), *((x, -c) for x, c in terms), *((x, -1.0) for x in carried.values())]
        yield at_least(f"heat[{e},{m}]", given, there)
        for slot, x in carried.items():
            yield from self._feed_heat(m, slot, x, [own for own in feeds if own.slot == slot])
        yield from self._worst(m, worst, carried)
        for n, at in enumerate(squares):
            for allowed in self.allowed:
                free = self._free(allowed, at)
                key = BundleHeat(e, m, n, allowed.only is not None)
                yield self._held(key, [(heat, 1.0), (worst, 1.0)], free, allowed, lone)
            yield from self._at_its_trip(m, n, at, heat, carried, lone)
        yield from self._warm_rows(m, squares, heat, most, lone)

    def _held(
        self,
        key: BundleHeat,
        given: Sequence[Term],
        line: _Line,
        allowed: _Allowed,
        lone: Sequence[Term],
        spare: float = 0.0,
    ) -> Row:
        """``given <= line(S) + spare``, in the case that the line is for."""
        over = sum(c for _, c in lone) + spare
        terms = [*given, (self.squares, -line.slope), *lone]
        if allowed.only is not None:
            room = self._free(self.allowed[0], self.most_mm2).most_over(line, self.most_mm2)
            terms.append((allowed.only, room))
            over += room
        return at_most(key, terms, line.at_0 + over)

    def _free(self, allowed: _Allowed, at_mm2: float) -> _Line:
        """The tangent at ``S*`` of what the bundle may give."""
        slope = allowed.share * self.around.slope_w_m(at_mm2)
        free = allowed.share * self.around.free_w_m(at_mm2) * (1.0 + TOLERANCE / 10)
        return _Line(free - slope * at_mm2, slope)

    def _left(self, hottest: BundledWire, allowed: _Allowed, at_mm2: float) -> _Line:
        """The tangent at ``S*`` of what it may give beside what a wire adds at its trip.

        Where the curve is not concave throughout, the line is raised above it.
        """
        key = (hottest, allowed.share, at_mm2)
        if key not in self.lines:

            def left(squares_mm2: float) -> float:
                free = allowed.share * self.around.free_w_m(squares_mm2) * (1.0 + TOLERANCE / 10)
                return free - self.around.added_w_m(hottest, squares_mm2)

            step = SQUARES_STEP_MM2
            slope = (left(at_mm2 + step) - left(at_mm2 - step)) / (2.0 * step)
            line = _Line(left(at_mm2) - slope * at_mm2, slope)
            first = max(self.least_mm2, square_mm2(hottest.wire))
            ratio = (max(self.most_mm2, first) / first) ** (1.0 / SAMPLES)
            sampled = [first * ratio**n for n in range(SAMPLES + 1)]
            above = max((left(s) - line.at(s) for s in sampled if left(s) > 0.0), default=0.0)
            self.lines[key] = _Line(line.at_0 + max(0.0, above), slope)
        return self.lines[key]

    def _warm_rows(
        self, m: int, squares: Sequence[float], heat: Variable, most: float, lone: Sequence[Term]
    ) -> Iterator[Row]:
        """``H <= L(S*) + L'(S*) (S - S*) + M warm``, ``L`` the heat that brings the middle of the bundle to a level."""
        v, e = self.v, self.e
        for one in v.option_list.lazy.levels(e, m):
            v.warm[one] = warm = v.add(f"warm[{e},{m},{one.body_c}]")
            level = replace(self.around, limit_c=one.body_c)
            for n, at in enumerate(squares):
                for allowed in self.allowed:
                    share = self.around.allowance**2 * (1.0 if allowed.only is None else BESIDE**2)
                    slope = share * level.slope_w_m(at)
                    line = _Line(share * level.free_w_m(at) * (1.0 - NEAR) - slope * at, slope)
                    terms = [(heat, 1.0), (self.squares, -line.slope), (warm, -most), *((x, most) for x, _ in lone)]
                    right = line.at_0 + most * len(lone)
                    if allowed.only is not None:
                        terms.append((allowed.only, most))
                        right += most
                    yield at_most(f"warm[{e},{m},{one.body_c},{n},{allowed.only is not None}]", terms, right)

    def _most_given(self, feed: Taker, m: int) -> float:
        """Greatest heat of a feed, also where limits of its unit are exceeded to say why nothing is possible."""
        assert feed.slot is not None
        slot = self.v.option_list.slots[feed.slot]
        most_a = max(slot.limit_ma + slot.spare_current_ma, most_drawn_ma(self.v, slot, m)) / 1000.0
        return feed.add_up(lambda one: self.around.given_w_m(one.wire.wire, most_a))

    def _given(self, own: Taker, m: int) -> float:
        def gives(one: LaidLine) -> float:
            return self.around.given_w_m(one.wire.wire, one.currents_a[m]) if one.currents_a else 0.0

        return own.add_up(gives)

    def _hottest(self, own: Taker, m: int, at_mm2: float) -> BundledWire:
        """The line of a taker that adds the most at its trip.

        What a feed carries is a variable, so all that it gives at its fuse counts as added.
        """
        found = [one.at(m) if own.slot is None else replace(one.wire, current_a=0.0) for one in own.lines]
        if len(found) == 1:
            return found[0]
        return max(found, key=lambda one: self.around.added_w_m(one, at_mm2))

    def _worst(self, m: int, worst: Variable, carried: dict[int | None, Variable]) -> Iterator[Row]:
        """``W >= sum_o v[o](S0) x[o]`` per load: the least that one of its wires adds, in the smallest bundle."""
        for n, group in enumerate(self.groups):
            for k, (some, taken) in enumerate(self._at_once(n, group)):
                adds = self._adds_at_least(m)
                if max(map(adds, some)) < self._least_added:
                    continue
                left = [(worst, 1.0), *self._of_feed(some, carried)]
                terms = [(x, -adds(own)) for own, x in zip(some, taken, strict=True) if x is not None]
                there = sum(adds(own) for own in some if own.variable is None)
                yield at_least(f"worst[{self.e},{m},{n},{k}]", [*left, *terms], there)
                yield from self._any_of(n, k, some)

    def _adds_at_least(self, m: int) -> Callable[[Taker], float]:
        """What the hottest line of a taker adds in the smallest bundle."""

        def adds(own: Taker) -> float:
            at = max(own.squares_mm2, self.least_mm2)
            return self.around.added_w_m(self._hottest(own, m, at), at)

        return adds

    @property
    def _least_added(self) -> float:
        return LEAST_OF_HOTTEST * self.v.option_list.lazy.hottest_w_m.get(self.e, inf)

    @staticmethod
    def _of_feed(some: Sequence[Taker], carried: dict[int | None, Variable]) -> list[Term]:
        return [] if some[0].slot is None else [(carried[some[0].slot], 1.0)]

    def _at_its_trip(
        self,
        m: int,
        step: int,
        at_mm2: float,
        heat: Variable,
        carried: dict[int | None, Variable],
        lone: list[Term],
    ) -> Iterator[Row]:
        """``H <= F[o](S) + M (1 - sum x)`` per wire of a load, summed over those that add as much or more."""
        for n, group in enumerate(self.groups):
            for k, (some, taken) in enumerate(self._at_once(n, group)):
                if self._most_added(m, n, k, some) < self._least_added:
                    continue
                by_wire: dict[BundledWire, list[tuple[Taker, Variable | None]]] = {}
                for own, x in zip(some, taken, strict=True):
                    by_wire.setdefault(self._hottest(own, m, max(at_mm2, own.squares_mm2)), []).append((own, x))
                wires = sorted(by_wire, key=lambda one: -self.around.added_w_m(one, at_mm2))
                fed = [(x, -c) for x, c in self._of_feed(some, carried)]
                for number, one in enumerate(wires):
                    if self.around.added_w_m(one, self.most_mm2) < self._least_added:
                        continue
                    yield from self._any_of(n, k, some)
                    hotter = [hot for hot in wires[: number + 1] if self._adds_more(hot, one)]
                    both = [pair for hot in hotter for pair in by_wire[hot]]
                    there = any(own.variable is None for own, _ in both)
                    for allowed in self.allowed:
                        line = self._left(one, allowed, max(at_mm2, square_mm2(one.wire)))
                        room = 0.0 if there else max(0.0, self._free(allowed, at_mm2).most_over(line, self.most_mm2))
                        terms = [(x, room) for _, x in both if x is not None and not there]
                        key = BundleHeat(self.e, m, step, allowed.only is not None, (n, k, number))
                        yield self._held(key, [(heat, 1.0), *fed, *terms], line, allowed, lone, room)

    def _most_added(self, m: int, n: int, k: int, some: Sequence[Taker]) -> float:
        """What any of some takers adds at most."""
        key = (m, n, k)
        if key not in self.most_added:
            at = self.most_mm2
            self.most_added[key] = max(self.around.added_w_m(self._hottest(own, m, at), at) for own in some)
        return self.most_added[key]

    def _adds_more(self, one: BundledWire, other: BundledWire) -> bool:
        """Whether a wire adds as much as another or more, whatever the bundle holds."""
        ends = (self.least_mm2 or SQUARES_STEP_MM2, (self.least_mm2 + self.most_mm2) / 2.0, self.most_mm2)
        return all(self.around.added_w_m(one, end) >= self.around.added_w_m(other, end) for end in ends)

    def _at_once(self, n: int, group: list[Taker]) -> Iterator[tuple[list[Taker], list[Variable | None]]]:
        """Takers of which at most one is taken, and what says so: all of one load; of alike loads, alike wires."""
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
        own_slot = self.v.option_list.slots[slot]
        current = slot_current(self.v, own_slot, None, m)
        for feed in feeds:
            ohm = self.around.given_w_m(feed.lines[0].wire.wire, 1.0)
            most = (own_slot.limit_ma + own_slot.spare_current_ma) / 1000.0
            for n, at in enumerate(self.v.option_list.lazy.feeds.get(slot, ())):
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
        """Frees a wire that lies alone from the rows: ``- M (1 - several)``, with ``wires <= 1 + N several``."""
        share = self.around.allowance**2
        over = 0.0
        for own in self.bundle:
            if own.add_up(lambda _: 1.0) == 1:
                one, at = own.lines[0], own.squares_mm2
                gives = self.around.given_w_m(one.wire.wire, one.wire.trip_a) + self.around.spread_w_m(one.wire, at)
                over = max(over, gives - share * BESIDE**2 * self.around.free_w_m(at))
        lazy_segments = any(one.segment == self.e for some in self.v.option_list.lazy.warm for one in some)
        if over <= 0.0 and not lazy_segments:
            return
        several = self.v.add(f"several[{self.e}]")
        terms, there = terms_of(self.bundle, lambda own: own.add_up(lambda _: 1.0))
        most = most_of(self.bundle, lambda own: own.add_up(lambda _: 1.0))
        yield at_most(f"several[{self.e}]", [*terms, (several, -most)], 1 - there), (several, over)
