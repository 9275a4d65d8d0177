"""The elastic model: the least by which its limits would have to be exceeded."""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from math import inf

from allocator.clock import TimeUpError, until
from allocator.model import Model, Solution, build
from allocator.model.bundle_limits import beside_others, passed_in_bundles
from allocator.model.constraints import TIGHTENING
from allocator.model.keys import LoadsFed, TogetherAt
from allocator.model.limits import KINDS_OF_BUNDLE, Apart, Limit, limit_of
from allocator.model.optimise import solution_of
from allocator.model.rows import Row, Sense, Variable, at_most, row
from allocator.model.separation import separate
from allocator.model.solver import Outcome, run
from allocator.model.variables import Term, Variables
from allocator.options import Option, OptionList, list_options

LEAST = 1e-6

GUIDED_SHARE = 0.5
"""Share of the time for easing only the limits that have to give in the LP relaxation."""

SETTLING_S = 1.0
"""Seconds for what follows from a solution, with nothing left to decide."""


@dataclass(frozen=True, slots=True)
class Shortfall:
    """A limit and by how much it is exceeded, in its unit: ``text`` says it in words."""

    limit: Limit
    amount: float

    @property
    def text(self) -> str:
        """Such as 'bank right of unit rear at shelf in condition surgery: 3.6 A over 58 A'."""
        return self.limit.over(self.amount)


@dataclass(frozen=True, slots=True)
class Stretch:
    """The least by which limits have to be exceeded, together.

    ``least`` is False where the search was stopped, ``interrupted`` True where Ctrl-C did that. ``solution`` is the
    one over ``option_list`` that exceeds them, ``values`` its columns.
    """

    shortfalls: tuple[Shortfall, ...]
    least: bool
    interrupted: bool
    option_list: OptionList
    solution: Solution
    values: tuple[float, ...] = ()


@dataclass(frozen=True)
class Elastic:
    """The model of an option list with a slack on each named limit.

    ``named``: its rows as they were, with their limits. ``grams``: its objective as it was.
    """

    model: Model
    named: tuple[tuple[Limit | None, Row], ...]
    grams: tuple[Term, ...]

    @staticmethod
    def of(option_list: OptionList, unfed: Collection[int] = ()) -> Elastic:
        """Ease every limit. Load groups in ``unfed``, which no option can feed, are left out."""
        model = build(option_list, without=TIGHTENING)
        fed = [(family, own) for family, own in model.rows if _group(own) not in unfed]
        named = [(limit_of(model.variables, own), family, own) for family, own in parted(model.variables, fed)]
        slacks: dict[object, Variable] = {}
        weights: list[tuple[Variable, float]] = []
        rows: list[tuple[str, Row]] = []
        for limit, family, own in named:
            if limit is None:
                rows.append((family, own))
                continue
            if limit.key not in slacks:
                slack = slacks[limit.key] = model.variables.add(f"over{len(slacks)}", None, limit.counts)
                weights.append((slack, _weight(limit)))
            rows.append((family, _eased(own, slacks[limit.key])))
        eased = replace(model, rows=tuple(rows), objective=tuple(weights), constant_g=0.0)
        return Elastic(eased, tuple((limit, own) for limit, _, own in named), model.objective)

    def stretch(self, fixed: Mapping[int, float] | None = None, time_limit_s: float | None = None) -> Stretch | None:
        """The least by which limits are exceeded, with columns held at values; None where no solution exists even so.

        Raises TimeUpError where Ctrl-C has stopped it before there was any.
        """
        fixed = fixed or {}
        if fixed:
            outcome = run(held(self.model, fixed), time_limit_s=time_limit_s, confirmed=False)
        else:
            outcome = self._least(time_limit_s)
        if outcome.values is not None:
            return self._as_stretch(outcome, fixed)
        if outcome.interrupted:
            raise TimeUpError
        return None

    def _least(self, time_limit_s: float | None) -> Outcome:
        """The least by which limits are exceeded.

        At first only limits that have to give in the LP relaxation may: the result is the least of all where it is no
        more than that of the relaxation, and a start otherwise.
        """
        ends = None if time_limit_s is None else time.monotonic() + time_limit_s
        lp_relaxation = run(self.model.lp_relaxation(), time_limit_s=time_limit_s, confirmed=False)
        start: dict[int, float] = {}
        if lp_relaxation.proven and lp_relaxation.values is not None and lp_relaxation.objective_g is not None:
            kept = {x.index: 0.0 for x, _ in self.model.objective if lp_relaxation.values[x.index] <= LEAST}
            found = run(held(self.model, kept), time_limit_s=_share(ends, GUIDED_SHARE), confirmed=False)
            if found.values is not None and found.objective_g is not None:
                found = replace(found, values=with_held(found.values, kept))
                if (found.objective_g or 0.0) <= lp_relaxation.objective_g + LEAST * max(
                    1.0, lp_relaxation.objective_g
                ):
                    return replace(found, proven=True)
                start = dict(enumerate(found.values or ()))
        start = start or each_alone(self.model)
        return run(self.model, time_limit_s=_share(ends, 1.0), start=start or None, confirmed=False)

    def lighter(self, stretch: Stretch) -> Stretch:
        """A solution of less copper that exceeds limits by no more: most of it will stand once they are raised."""
        weights = self.model.objective
        passed_by = sum(c * stretch.values[x.index] for x, c in weights)
        no_more = at_most("stretch", weights, passed_by + LEAST * max(1.0, passed_by))
        model = replace(self.model, rows=(*self.model.rows, ("stretch", no_more)), objective=self.grams)
        kept = {x.index: 0.0 for x, _ in weights if stretch.values[x.index] <= LEAST}
        start = dict(enumerate(stretch.values))
        outcome = run(held(model, kept), time_limit_s=LIGHTER_S, gap=LIGHTER_GAP, start=start, confirmed=False)
        return stretch if outcome.values is None else self._as_stretch(replace(outcome, proven=stretch.least), kept)

    def _as_stretch(self, outcome: Outcome, fixed: Mapping[int, float]) -> Stretch:
        values = with_held(outcome.values or (), fixed)
        if not outcome.proven:
            values = self._settled(values)
        solution = solution_of(self.model, replace(outcome, values=values))
        lacking = _lacking(self.named, values, self.model.option_list, solution)
        return Stretch(lacking, outcome.proven, outcome.interrupted, self.model.option_list, solution, values)

    def _settled(self, values: tuple[float, ...]) -> tuple[float, ...]:
        """Values with columns that follow from the solution at their least: a stopped search may leave them high."""
        v = self.model.variables
        chosen = (*v.take, *v.fit, *v.feed, *v.direct, *v.spare.values(), *v.unit_of.values())
        fixed = {x.index: float(round(values[x.index])) for x in chosen}
        outcome = run(held(self.model, fixed), time_limit_s=SETTLING_S, confirmed=False)
        return values if outcome.values is None else with_held(outcome.values, fixed)


LIGHTER_S, LIGHTER_GAP = 3.0, 0.05
"""Seconds, and the gap, for the copper of a solution that exceeds limits."""

LAZY_ROWS_S = 5.0
"""Seconds for bundles where other limits have to be exceeded in any case."""


def _share(ends: float | None, share: float) -> float | None:
    """A share of the seconds up to an end."""
    return None if ends is None else share * max(0.0, ends - time.monotonic())


def shortfalls(
    option_list: OptionList, *, unfed: Collection[int] = (), time_limit_s: float | None = None
) -> Stretch | None:
    """By how much limits are exceeded in the solution that exceeds them least, each weighted by its own size.

    Segments that get too warm get lazy rows, until all of them have; where the time is up first, the last is not the
    least. Where other limits have to be exceeded even without lazy rows, no more than `LAZY_ROWS_S` is spent on that:
    then only those are reported, the least that is lacking whatever the bundles. None where no solution exists even
    so, or none was found in the time.
    """
    ends = None if time_limit_s is None else time.monotonic() + time_limit_s
    left, incumbent, blind = time_limit_s, None, None
    elastic = Elastic.of(option_list, unfed)
    try:
        while True:
            stretch = elastic.stretch(time_limit_s=left)
            if stretch is None:
                return blind or incumbent
            lazy = option_list.lazy | separate(option_list, stretch.solution)
            if lazy == option_list.lazy and (stretch.least or blind is None):
                return stretch
            if incumbent is None and _blind(stretch) is not None:
                stretch = elastic.lighter(stretch)
                blind, lazy = _blind(stretch), option_list.lazy | separate(option_list, stretch.solution)
                ends = min(ends or inf, time.monotonic() + LAZY_ROWS_S)
            incumbent = replace(stretch, least=False)
            left = None if ends is None else ends - time.monotonic()
            if stretch.interrupted or lazy == option_list.lazy or (left is not None and left <= 0.0):
                return blind or incumbent
            with until(left):
                option_list = list_options(option_list.problem, lazy=lazy)
                elastic = Elastic.of(option_list, unfed)
    except TimeUpError:
        if blind is None and incumbent is None:
            raise
        return blind or incumbent


def _blind(stretch: Stretch) -> Stretch | None:
    """What is lacking at the least without lazy rows, bundles left aside; None where that is nothing."""
    lacking = tuple(one for one in stretch.shortfalls if one.limit.kind not in KINDS_OF_BUNDLE.values())
    return replace(stretch, shortfalls=lacking) if lacking and stretch.least else None


def _weight(limit: Limit) -> float:
    """What one of a row's own figures over its limit costs: a share of the limit, in thousandths.

    A limit of 0 costs more to exceed than a limit of 1.
    """
    return 1000.0 / (limit.scale * max(limit.amount, 0.25))


def each_alone(model: Model) -> dict[int, float]:
    """Values of columns for a start: each load alone on the lightest output of the slots that feed most.

    As every limit gives, it only has to be somewhere. Empty where a load is fed by none of these slots alone.
    """
    v, option_list = model.variables, model.option_list
    alone = [o for o in option_list.options if len(o.candidate.members) == 1 and o.candidate.members[0][1] == 1]
    feeds = Counter(o.slot for o in {(o.slot, o.candidate.members): o for o in alone}.values())
    fitted: set[int] = set()
    for number, unit_group in enumerate(option_list.unit_groups):
        own = [
            slot.index
            for slot in option_list.slots
            if slot.unit_group == number and option_list.feeds_by_slot[slot.index]
        ]
        fitted |= {*sorted(own, key=lambda s: (-feeds[s], s))[: len(unit_group.units)]}
    lightest: dict[int, Option] = {}
    for option in sorted(alone, key=lambda o: (o.copper_g, o.index)):
        if option.slot in fitted:
            lightest.setdefault(option.candidate.members[0][0], option)
    if {*lightest} < {g.index for g in option_list.load_groups} - {g.index for g in option_list.unfed}:
        return {}
    taken = {option.index: float(len(option_list.load_groups[group].loads)) for group, option in lightest.items()}
    heaviest = {max(option_list.feeds_by_slot[s], key=lambda feed: feed.capacity_ma).index for s in fitted}
    values = {x.index: taken.get(o, 0.0) for o, x in enumerate(v.take)}
    values |= {x.index: float(s in fitted) for s, x in enumerate(v.fit)}
    return values | {x.index: float(f in heaviest) for f, x in enumerate(v.feed)}


def _group(own: Row) -> int | None:
    """The load group that a row asks to be fed."""
    return own.key.group if isinstance(own.key, LoadsFed | TogetherAt) else None


def parted(v: Variables, rows: Iterable[tuple[str, Row]]) -> Iterator[tuple[str, Row]]:
    """Rows in which loads of a together word may be parted, and a row for each word that counts those that are."""
    parted: dict[str, list[Term]] = {}
    for family, own in rows:
        if isinstance(own.key, TogetherAt):
            added, missing = (v.add(f"{what}{own.name}", None, integer=False) for what in ("added", "missing"))
            parted.setdefault(own.key.word, []).append((added, 1.0))
            own = row(own.key, [*own.terms, (added, -1.0), (missing, 1.0)], own.sense, own.right)
        yield family, own
    for word, terms in parted.items():
        yield "together", at_most(Apart(word), terms, 0)


def _eased(own: Row, slack: Variable) -> Row:
    sign = {Sense.AT_MOST: -1.0, Sense.AT_LEAST: 1.0}[own.sense]
    return row(own.key, [*own.terms, (slack, sign)], own.sense, own.right)


def held(model: Model, fixed: Mapping[int, float]) -> Model:
    """A model with columns held at values: they leave rows and objective, where their values are put in."""

    def left(terms: Iterable[Term]) -> tuple[tuple[Term, ...], float]:
        free = tuple((x, c) for x, c in terms if x.index not in fixed)
        # currents and counts are whole numbers: what is not one has been rounded on the way
        return free, round(sum(c * fixed[x.index] for x, c in terms if x.index in fixed), 9)

    rows = []
    for family, own in model.rows:
        free, value = left(own.terms)
        rows.append((family, replace(own, terms=free, right=own.right - value)))
    objective, grams = left(model.objective)
    return replace(model, rows=tuple(rows), objective=objective, constant_g=model.constant_g + grams)


def with_held(values: tuple[float, ...], fixed: Mapping[int, float]) -> tuple[float, ...]:
    """Values of all columns, those that were held among them."""
    return tuple(fixed.get(index, value) for index, value in enumerate(values))


def _lacking(
    named: Iterable[tuple[Limit | None, Row]], values: tuple[float, ...], option_list: OptionList, solution: Solution
) -> tuple[Shortfall, ...]:
    """Limits exceeded, each in its worst condition; the heaviest first. Rows on bundles are only approximate."""
    in_bundles = passed_in_bundles(option_list, solution)
    worst: dict[object, Shortfall] = {limit.key: Shortfall(limit, over) for limit, over in in_bundles}
    for limit, own in named:
        if limit is None or limit.kind in KINDS_OF_BUNDLE.values():
            continue
        whole = sum(c * (round(values[x.index]) if x.integer else values[x.index]) for x, c in own.terms)
        over = (whole - own.right if own.sense is Sense.AT_MOST else own.right - whole) / limit.scale
        so_far = worst.get(limit.key)
        if over > LEAST and (so_far is None or over > so_far.amount + LEAST):
            worst[limit.key] = Shortfall(beside_others(limit, option_list, solution), over)
    return tuple(sorted(worst.values(), key=lambda s: -s.amount / max(s.limit.amount, 1.0)))
