"""The whole problem by trying everything: sites, then circuits one load after another, then feeds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import product
from math import ceil

from allocator.problem import Fit, Function, Problem
from tests.oracle.bundles import Lying, wrongs
from tests.oracle.drops import bodies, lose_too_much, over_v
from tests.oracle.options import (
    FeedOption,
    Option,
    feeds,
    heating_ma,
    limit_ma,
    milligrams,
    options,
    site_share,
    spread_ma,
)
from tests.oracle.physics import fuse_stands_a

Sites = dict[str, str]


def least_by_trying_all(problem: Problem) -> float | None:
    """Least objective in grams over every layout there is; None where there is none. For tiny problems.

    Direct loads and given wires are refused.

    Only two things are not tried: what cannot become less dear than the best found so far, and what already
    breaks a rule that more circuits can only break further.
    """
    search = _Search(problem, options(problem), feeds(problem))
    best: int | None = None
    for sites in _sitings(problem):
        best = search.best(sites, best)
    return None if best is None else best / 1000


def _sitings(problem: Problem) -> Iterator[Sites]:
    choices = [(*unit.sites, *(() if unit.fit == Fit.ALWAYS else (None,))) for unit in problem.units]
    for chosen in product(*choices):
        sites = {u.name: s for u, s in zip(problem.units, chosen, strict=True) if s is not None}
        held = list(sites.values())
        if all(held.count(p.name) <= p.units for p in problem.places) and all(
            site_share(problem, problem.unit[u], s) is not None for u, s in sites.items()
        ):
            yield sites


@dataclass(frozen=True)
class _Search:
    problem: Problem
    options: list[Option]
    feeds: list[FeedOption]

    def best(self, sites: Sites, best: int | None) -> int | None:
        """The least of ``best`` and all layouts with units at these sites."""
        problem, prices = self.problem, self.problem.prices
        standing = 0
        for name in sites:
            kind, spare = problem.unit_type[problem.unit[name].type], problem.unit[name].spare
            idle = sum(len(c.pins) for c in kind.outputs) - sum(n for _, n in spare)
            standing += idle * milligrams(prices.unused_output_g) + milligrams(prices.unit_mass * kind.mass_g)
        cables = {u: [f for f in self.feeds if (f.unit, f.site) == (u, s)] for u, s in sites.items()}
        if not all(cables.values()):
            return best
        standing += sum(min(f.cost_mg for f in found) for found in cables.values())
        here = [o for o in self.options if sites.get(o.unit) == o.site]
        by_load = {
            load.name: sorted((o for o in here if o.loads[0] == load.name), key=self.price) for load in problem.loads
        }
        return self.extend(sites, cables, by_load, (), standing, best)

    def price(self, option: Option) -> int:
        """What a circuit adds: its outputs were counted as unused before."""
        prices = self.problem.prices
        output = milligrams(prices.used_output_g) - milligrams(prices.unused_output_g)
        return option.cost_mg + len(option.pins) * output

    def extend(
        self,
        sites: Sites,
        cables: dict[str, list[FeedOption]],
        by_load: dict[str, list[Option]],
        chosen: tuple[Option, ...],
        cost: int,
        best: int | None,
    ) -> int | None:
        """Give the next load each of its circuits."""
        fed = {name for option in chosen for name in option.loads}
        waiting = [name for name in by_load if name not in fed]
        # the options of a load are in the order of their price
        least = sum(min([0, *(self.price(o) for o in by_load[name][:1])]) for name in waiting)
        if (best is not None and cost + least >= best) or not self.bearable(sites, chosen):
            return best
        if not waiting:
            return self.with_feeds(sites, cables, chosen, cost, best)
        for option in by_load[waiting[0]]:
            if fed.isdisjoint(option.loads):
                dearer = cost + self.price(option)
                best = self.extend(sites, cables, by_load, (*chosen, option), dearer, best)
        return best

    def bearable(self, sites: Sites, chosen: tuple[Option, ...]) -> bool:
        """Every rule that does not ask for the feeds."""
        problem = self.problem
        used = [(o.unit, pin) for o in chosen for pin in o.pins]
        if len(used) != len(set(used)) or not contacts_do(problem, chosen):
            return False
        for word in {load.together for load in problem.loads} - {None}:
            if len({o.unit for o in chosen for n in o.loads if problem.load[n].together == word}) > 1:
                return False
        for unit in (problem.unit[name] for name in sites):
            kind, mine = problem.unit_type[unit.type], [o for o in chosen if o.unit == unit.name]
            use = problem.margins.unit_use * (site_share(problem, unit, sites[unit.name]) or 0.0)
            spare = limit_ma(unit.spare_current_a)
            if worst_ma(problem, mine) + spare > limit_ma(kind.continuous_a * use):
                return False
            for bank in kind.banks:
                inside = [o for o in mine if o.bank == bank.name]
                if worst_ma(problem, inside) > limit_ma(bank.continuous_a * use):
                    return False
            for name, kept in unit.spare:
                there = sum(len(c.pins) for c in kind.outputs if c.name == name)
                if sum(len(o.pins) for o in mine if o.class_name == name) + kept > there:
                    return False
        return studs_do(problem, chosen) and all(
            lost <= len(f.loads) - f.survive for f in problem.functions for lost in losses(problem, f, chosen)
        )

    def with_feeds(
        self,
        sites: Sites,
        cables: dict[str, list[FeedOption]],
        chosen: tuple[Option, ...],
        cost: int,
        best: int | None,
    ) -> int | None:
        """Try every feed of every unit."""
        problem = self.problem
        cost -= sum(min(f.cost_mg for f in found) for found in cables.values())
        enough: list[list[FeedOption]] = []
        for name in sites:
            mine = [o for o in chosen if o.unit == name]
            spare = limit_ma(problem.unit[name].spare_current_a)
            worst = worst_ma(problem, mine) + spare
            good = [f for f in cables[name] if f.capacity_ma >= worst]
            enough.append([f for f in good if stands_starts(problem, f, mine, spare)])
        for laid in product(*enough):
            total = cost + sum(f.cost_mg for f in laid)
            if (best is None or total < best) and self.feeds_do(laid, chosen):
                best = total
        return best

    def feeds_do(self, laid: tuple[FeedOption, ...], chosen: tuple[Option, ...]) -> bool:
        """Studs of bulkheads, what a bulkhead that fails takes away, and all that lies in bundles."""
        for bulkhead in self.problem.bulkheads:
            name = bulkhead.name
            if sum(f.bulkheads.count(name) for f in laid) > bulkhead.studs:
                return False
            behind = {f.unit for f in laid if name in f.bulkheads}
            for function in self.problem.functions:
                lost = sum(
                    o.unit in behind or name in cut
                    for o in chosen
                    for load, cut in zip(o.loads, o.cut, strict=True)
                    if load in function.loads
                )
                if "bulkhead" in function.against and lost > len(function.loads) - function.survive:
                    return False
        lines = [line for o in chosen for line in o.lines]
        for feed in laid:
            mine = [o for o in chosen if o.unit == feed.unit]
            spare = limit_ma(self.problem.unit[feed.unit].spare_current_a)
            flows = [(drawn_ma(self.problem, mine, m) + spare) / 1000 for m in range(len(self.problem.conditions))]
            lines += [replace(line, currents_a=tuple(flows)) for line in feed.lines]
        return not any(wrongs(self.problem, lines)) and drops_do(self.problem, chosen, lines)


def drops_do(problem: Problem, chosen: tuple[Option, ...], lines: Iterable[Lying]) -> bool:
    """Whether each load keeps its drop, its wires as warm as the bundles of the layout make them."""
    warm = {e: body.middle_c for e, body in bodies(problem, lines).items()}
    return not lose_too_much(
        over_v(losing, left, warm) for o in chosen for losing, left in zip(o.losing, o.left_v, strict=True)
    )


def worst_ma(problem: Problem, circuits: list[Option]) -> int:
    """Worst current over the conditions: nominal, and the few loads that stray furthest."""
    return max(drawn_ma(problem, circuits, m) for m in range(len(problem.conditions)))


def drawn_ma(problem: Problem, circuits: list[Option], condition: int) -> int:
    """That of one condition."""
    loads = [problem.load[n] for o in circuits for n in o.loads]
    spreads = sorted((spread_ma(load, condition) for load in loads), reverse=True)
    return sum(heating_ma(load, condition) for load in loads) + sum(spreads[: problem.margins.robust])


def stands_starts(problem: Problem, feed: FeedOption, circuits: list[Option], spare_ma: int) -> bool:
    """Whether the fuse stands the start of each load behind it, in each condition in which the load is on."""
    return all(
        drawn_ma(problem, circuits, m) + spare_ma - heating_ma(load, m) + ceil(1000 * load.inrush_a - 1e-6)
        <= limit_ma(fuse_stands_a(feed.fuse_a, load.inrush_s))
        for load in (problem.load[n] for o in circuits for n in o.loads)
        if load.inrush_a is not None and load.inrush_s is not None
        for m in range(len(problem.conditions))
        if load.levels[m] > 0
    )


def losses(problem: Problem, function: Function, chosen: tuple[Option, ...]) -> Iterator[int]:
    """How many loads of the function each failure takes away; bulkheads apart."""
    told = [(o, n, s) for o in chosen for n, s in zip(o.loads, o.studs, strict=True) if n in function.loads]
    against = function.against
    for name in {problem.unit[o.unit].source for o, _, _ in told} if "source" in against else ():
        yield sum(problem.unit[o.unit].source == name for o, _, _ in told)
    for name in {o.unit for o, _, _ in told}:
        mine = [o for o, _, _ in told if o.unit == name]
        if "unit" in against or "feed" in against:
            yield len(mine)
        for bank in {o.bank for o in mine} if "bank" in against else ():
            yield sum(o.bank == bank for o in mine)
        for pin in {p for o in mine for p in o.pins} if "output" in against else ():
            yield sum(pin in o.pins for o in mine)
    for place in {s for _, _, s in told} - {None} if "stud" in against else ():
        yield sum(s == place for _, _, s in told)


def studs_do(problem: Problem, chosen: tuple[Option, ...]) -> bool:
    """Every ground stud within its limit in every condition."""
    ends = [(problem.load[n], s) for o in chosen for n, s in zip(o.loads, o.studs, strict=True)]
    return all(
        sum(heating_ma(load, m) for load, s in ends if s == place.name) <= limit_ma(place.stud_a)
        for place in problem.places
        if place.stud_a is not None
        for m in range(len(problem.conditions))
    )


def contacts_do(problem: Problem, chosen: tuple[Option, ...]) -> bool:
    """Whether all wires that cross find a contact each, tried one after another."""
    for bulkhead in problem.bulkheads:
        wires = sorted((good for o in chosen for name, good in o.needs if name == bulkhead.name), key=len)
        if not _placed(wires, [s.count for s in bulkhead.contacts]):
            return False
    return True


def _placed(wires: list[frozenset[int]], free: list[int]) -> bool:
    if not wires:
        return True
    if len(wires) > sum(free):
        return False
    tries = (n for n in wires[0] if free[n] > 0)
    return any(_placed(wires[1:], [left - (n == t) for n, left in enumerate(free)]) for t in tries)
