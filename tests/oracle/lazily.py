"""Rows on what lies together: those that are linear at once, those on heat where an answer is found too warm.

The rule on heat is not linear. A row forbids what was found, and all that is worse: bundles of about that many square
millimetres that give as much heat, with a wire at its trip that adds as much. The free heat of a bundle and what a wire
at its trip adds both rise with its size; so over a span of sizes the free heat of the upper end and the addition of
the lower are on the safe side, and nothing is forbidden that the rule allows.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from math import ceil, floor

from ortools.sat.python import cp_model

from allocator.problem import Bundling, Problem
from tests.oracle.bundles import ROUNDING, Around, Lying, Wrong, around, place_of_bundle, squares_of, stated, wrongs
from tests.oracle.physics import at_most

Var = cp_model.IntVar
Slot = tuple[str, str]

PER_WATT = 10**7
PER_AMPERE = 10**6
"""Steps of heat and current in rows. Finer ones are too much for CP-SAT 9: with 1e8 its presolve proved what is not so.
"""


@dataclass(frozen=True)
class Taker:
    """A line that lies there if a variable is 1 (None: it does); of a feed with its unit and site."""

    line: Lying
    taken: Var | None
    slot: Slot | None = None


Terms = list[tuple[int, Var]]
Currents = Callable[[Slot, int], list[Terms]]
"""By unit, site and condition: what a feed may carry, the most of these sums in milliamperes."""


def total(terms: Iterable[tuple[int, Var]]) -> cp_model.LinearExpr:
    """Sum of coefficients times variables."""
    told = list(terms)
    return cp_model.LinearExpr.weighted_sum([v for _, v in told], [c for c, _ in told])


def one(_: Lying) -> int:
    """Each counts as one."""
    return 1


class Bundles:
    """Rows of a model on what lies together."""

    def __init__(self, model: cp_model.CpModel, problem: Problem, takers: Iterable[Taker], currents: Currents):
        self.model, self.problem, self.currents = model, problem, currents
        self.takers = list(takers)
        self.here: dict[int, list[Taker]] = defaultdict(list)
        for own in self.takers:
            for e in own.line.segments:
                self.here[e].append(own)
        self.beside = {e: self.any_of(own for own in here if not own.line.inside) for e, here in self.here.items()}
        for e in self.here:
            self.side_by_side(e)
            if problem.margins.bundle is Bundling.TABLE:
                self.as_stated(e)
            else:
                self.not_too_hot(e)

    def inside(self, e: int) -> list[Taker]:
        """What may lie in the bundle of a segment."""
        return [own for own in self.here[e] if own.line.inside]

    def any_of(self, found: Iterable[Taker]) -> Var:
        """A variable that is 1 where any of them lies."""
        some = self.model.new_bool_var("")
        for own in found:
            self.implies(own, some)
        return some

    def implies(self, own: Taker, then: Var) -> None:
        """Where it lies, so is the other."""
        if own.taken is None:
            self.model.add_bool_or([then])
        else:
            self.model.add_implication(own.taken, then)

    def side_by_side(self, e: int) -> None:
        """No cable lies beside more than it bears, a bundle of wires counting as one."""
        cables = [own for own in self.here[e] if not own.line.inside]
        if not cables:
            return
        count = self.summed(cables, one) + place_of_bundle(self.problem, e)
        for most in sorted({own.line.side_by_side or 0 for own in cables}):
            calm = self.any_of(own for own in cables if own.line.side_by_side == most)
            self.model.add(count <= most).only_enforce_if(calm)

    def not_too_hot(self, e: int) -> None:
        """What is behind too large a trip lies beside no cable."""
        place = around(self.problem, e)
        for own in self.inside(e):
            if not at_most(own.line.trip_a, place.beside_cable_a(own.line.wire)):
                self.implies(own, self.beside[e].negated())

    def as_stated(self, e: int) -> None:
        """Wires and loading no more than stated."""
        most, loading = stated(self.problem, e)
        inside = self.inside(e)
        self.model.add(self.summed(inside, one) <= most)
        for m in range(len(self.problem.conditions)) if most > 1 else ():
            over = self.summed(
                inside,
                lambda line, m=m: floor(
                    PER_AMPERE
                    * ((line.currents_a[m] if line.currents_a else 0.0) - loading * line.ampacity_a * (1 + ROUNDING))
                ),
            )
            feeds = [own.slot for own in inside if own.slot is not None]
            drawn = [self.drawn(e, slot, m) * (PER_AMPERE // 1000) for slot in dict.fromkeys(feeds)]
            self.model.add(over + sum(drawn) <= 0)

    def drawn(self, e: int, slot: Slot, m: int) -> Var:
        """What flows through a segment to a unit in milliamperes, 0 where its feed lies elsewhere."""
        flows = self.model.new_int_var(0, 10**7, "")
        here = self.any_of(own for own in self.inside(e) if own.slot == slot)
        for terms in self.currents(slot, m):
            self.model.add(flows >= total(terms)).only_enforce_if(here)
        return flows

    def summed(self, found: Iterable[Taker], figure: Callable[[Lying], int]) -> cp_model.LinearExpr:
        """A whole figure added up over all that lies there."""
        found = list(found)
        there = sum(own.line.count * figure(own.line) for own in found if own.taken is None)
        chosen = [own for own in found if own.taken is not None]
        return total((own.line.count * figure(own.line), own.taken) for own in chosen) + there

    def lying(self, solver: cp_model.CpSolver) -> dict[int, Lying]:
        """What an answer lays, by its number among the takers; feeds with what they carry."""
        found: dict[int, Lying] = {}
        for n, own in enumerate(self.takers):
            if own.taken is None or solver.value(own.taken):
                line = own.line
                if own.slot is not None:
                    flows = [
                        max(solver.value(total(terms)) for terms in self.currents(own.slot, m)) / 1000
                        for m in range(len(self.problem.conditions))
                    ]
                    line = replace(line, currents_a=tuple(flows))
                found[n] = line
        return found

    def forbid(self, solver: cp_model.CpSolver) -> bool:
        """Rows against all that is too warm in an answer; whether there was any."""
        lying = self.lying(solver)
        found = list(wrongs(self.problem, lying.values()))
        for wrong in found:
            if wrong.condition is None:
                raise AssertionError(f"{wrong} in spite of its row")
            numbers = [n for n, line in lying.items() if line.inside and wrong.segment in line.segments]
            self.cool(wrong, wrong.condition, {n: lying[n] for n in numbers}, solver)
        return bool(found)

    def cool(self, wrong: Wrong, m: int, lying: dict[int, Lying], solver: cp_model.CpSolver) -> None:
        """``heat + addition(low) <= allowed(high)`` where ``low <= S <= high`` and a wire adds as much."""
        e, place = wrong.segment, around(self.problem, wrong.segment)
        beside = bool(solver.value(self.beside[e]))
        found = sum(line.count * squares_of(line.wire) for line in lying.values())
        heat = sum(line.count * place.gives_w_m(line.wire, line.currents_a[m]) for line in lying.values())
        number = list(lying)[wrong.worst]
        hottest = lying[number]

        def over(low: int, high: int) -> float:
            allowed = place.allowed_w_m(high, beside=beside)
            adds = place.at_trip_w_m(hottest, hottest.currents_a[m], low)
            return heat + adds - allowed - ROUNDING * max(allowed, 1.0)

        excess = over(found, found)
        high = _last(found, 4 * found, lambda high: over(found, high) > excess / 2)
        low = -_last(-found, -squares_of(hottest.wire), lambda less: over(-less, high) > excess / 10)
        allowed = place.allowed_w_m(high, beside=beside)
        most = ceil(PER_WATT * (allowed + ROUNDING * max(allowed, 1.0)))
        when = [*self.within(e, low, high), *self.bundled(e, beside=beside)]
        feeds = {n: line for n, line in lying.items() if self.takers[n].slot is not None}
        heat = self.given_by_wires(place, e, m)
        if number in feeds:
            # at its fuse it gives what that lets it, whatever it carries
            del feeds[number]
            adds = place.at_trip_w_m(hottest, 0.0, low)
            when.append(self.any_of([self.takers[number]]))
        else:
            adds = place.at_trip_w_m(hottest, hottest.currents_a[m], low)
            when.append(self.hot(place, e, m, low, adds))
        for n, line in feeds.items():
            heat += self.given_by_feed(place, self.takers[n].slot, m, line, solver)
            when.append(self.any_of([self.takers[n]]))
        self.model.add(heat + floor(PER_WATT * adds) <= most).only_enforce_if(when)

    def given_by_wires(self, place: Around, e: int, m: int) -> cp_model.LinearExpr:
        """What all wires of a segment give, without feeds."""
        wires = [own for own in self.inside(e) if own.slot is None]
        return self.summed(wires, lambda line: floor(PER_WATT * place.gives_w_m(line.wire, line.currents_a[m])))

    def given_by_feed(
        self, place: Around, slot: Slot, m: int, line: Lying, solver: cp_model.CpSolver
    ) -> cp_model.LinearExpr:
        """What a feed gives at the least, and just that at the current found: ``r I^2 >= r (2 I* I - I*^2)``."""
        ohm, at = place.gives_w_m(line.wire, 1.0), line.currents_a[m]
        terms = max(self.currents(slot, m), key=lambda terms: solver.value(total(terms)))
        slope = PER_WATT * 2 * ohm * at / 1000
        return total((floor(slope * c), v) for c, v in terms) - ceil(PER_WATT * ohm * at**2)

    def hot(self, place: Around, e: int, m: int, low: int, adds: float) -> Var:
        """Whether a wire lies there, no feed, that adds as much to a bundle of that size."""
        return self.any_of(
            own
            for own in self.inside(e)
            if own.slot is None and place.at_trip_w_m(own.line, own.line.currents_a[m], low) >= adds
        )

    def within(self, e: int, low: int, high: int) -> list[Var]:
        """Whether the bundle has no less, and no more, than so many squares."""
        squares = self.summed(self.inside(e), lambda line: squares_of(line.wire))
        no_less, no_more = self.model.new_bool_var(""), self.model.new_bool_var("")
        self.model.add(squares <= low - 1).only_enforce_if(no_less.negated())
        self.model.add(squares >= high + 1).only_enforce_if(no_more.negated())
        return [no_less, no_more]

    def bundled(self, e: int, *, beside: bool) -> list[Var]:
        """Whether it is a bundle whose heat counts, and, if that is asked, a cable lies beside."""
        return [self.several(e), *([self.beside[e]] if beside else [])]

    def several(self, e: int) -> Var:
        """Whether two wires or more lie there."""
        several = self.model.new_bool_var("")
        self.model.add(self.summed(self.inside(e), one) <= 1).only_enforce_if(several.negated())
        return several


def _last(first: int, last: int, good: Callable[[int], bool]) -> int:
    """The last whole number up to which something is good, which it is at the first."""
    if good(last):
        return last
    while last - first > 1:
        middle = (first + last) // 2
        first, last = (middle, last) if good(middle) else (first, middle)
    return first
