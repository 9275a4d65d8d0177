"""The whole problem by CP-SAT: booleans for circuits on named outputs at a site, for wires out, returns and feeds."""

from __future__ import annotations

import time
from collections import Counter, defaultdict
from collections.abc import Iterable
from itertools import combinations
from math import ceil

from ortools.sat.python import cp_model

from allocator.problem import Fit, Problem, Unit
from tests.oracle.lazily import Bundles, Slot, Taker, Terms, total
from tests.oracle.options import feeds_worth_laying, heating_ma, limit_ma, milligrams, site_share, spread_ma
from tests.oracle.parts import Back, Circuit, Job, Out, Part, circuits, directs, given, returns
from tests.oracle.physics import at_most, fuse_stands_a
from tests.oracle.warm_drops import WarmDrops

Var = cp_model.IntVar


def least_by_cp_sat(
    problem: Problem, *, alone: bool = False, warm: bool = True, time_limit_s: float = 300.0
) -> float | None:
    """Least objective in grams, proven by CP-SAT; None where there is no layout.

    ``alone``: whatever lies together is left aside, so that what bundles cost shows. ``warm``: whether wires lose more
    for the bundles that warm them; without, it shows what that costs.

    Raises
    ------
    NearTieError
        When a bundle or a drop of the answer is so near to its limit that two ways to reckon may differ.
    RuntimeError
        When the time is up before anything is proven.
    """
    least = _Oracle(problem, alone=alone, warm=warm).least_mg(time_limit_s)
    return None if least is None else least / 1000


def drops_by_cp_sat(problem: Problem) -> dict[str, tuple[float, float]]:
    """What loads lose in V in a least layout for which wires are as warm as their own current makes them.

    By load that some bundle warms: that, and what it loses as warm as the bundles of that layout make its wires.
    """
    oracle = _Oracle(problem, warm=False)
    solver = oracle.least()
    return {} if solver is None else WarmDrops(oracle.bundles, [*oracle.out, *oracle.direct], oracle.back).lost(solver)


def one_thread() -> cp_model.CpSolver:
    """The solver on one thread, with every row in its linear relaxation: where bundles count, 100 times as fast.

    It does not probe: with models so small that takes longer than what it saves.
    """
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.linearization_level = 2
    solver.parameters.cp_model_probing_level = 0
    return solver


class _Oracle:
    def __init__(self, problem: Problem, *, alone: bool = False, warm: bool = True):
        self.problem, self.model = problem, cp_model.CpModel()
        self.fit = {(u.name, s): self.model.new_bool_var("") for u in problem.units for s in u.sites}
        self.take: list[tuple[Circuit, Var]] = []
        self.out: list[tuple[Out, Var]] = []
        for on, outs in circuits(problem):
            taken, wired = ([(one, self.model.new_bool_var("")) for one in found] for found in (on, outs))
            self.model.add(total((1, v) for _, v in taken) == total((1, v) for _, v in wired))
            self.take += taken
            self.out += wired
        self.direct = [(o, self.model.new_bool_var("")) for o in directs(problem)]
        self.back: dict[Job, list[tuple[Back, Var]]] = {}
        self.feed = [(f, self.model.new_bool_var("")) for f in feeds_worth_laying(problem)]
        self.given = given(problem)
        if self.given is None:
            self.model.add_bool_or([])
        self.fitting()
        self.circuits()
        self.returns()
        self.outputs()
        self.currents()
        self.starts()
        self.bundles = Bundles(self.model, problem, [] if alone else self.takers(), self.drawn)
        self.bulkheads()
        self.together()
        for function in problem.functions:
            self.survival(function.loads, len(function.loads) - function.survive, function.against)
        self.studs()
        self.drops = WarmDrops(self.bundles, [*self.out, *self.direct], self.back) if warm and not alone else None
        self.objective()

    def least_mg(self, time_limit_s: float = 300.0) -> int | None:
        """Least objective in milligrams; None where there is none."""
        solver = self.least(time_limit_s)
        return None if solver is None else round(solver.objective_value)

    def least(self, time_limit_s: float = 300.0) -> cp_model.CpSolver | None:
        """The solver with a least answer; None where there is none. What is too warm, or loses too much, gets rows."""
        ends = time.monotonic() + time_limit_s
        while True:
            solver = one_thread()
            solver.parameters.max_time_in_seconds = max(0.0, ends - time.monotonic())
            status = solver.solve(self.model)
            if status == cp_model.INFEASIBLE:
                return None
            if status != cp_model.OPTIMAL:
                raise RuntimeError(f"CP-SAT ended with {solver.status_name(status)}")
            if not self.bundles.forbid(solver) and not (self.drops and self.drops.forbid(solver)):
                return solver

    def fitting(self) -> None:
        """A unit at one site or none, sites that take it, places that hold it, a feed for each."""
        for unit in self.problem.units:
            fitted = total((1, self.fit[unit.name, s]) for s in unit.sites)
            self.model.add(fitted == 1 if unit.fit == Fit.ALWAYS else fitted <= 1)
            for site in unit.sites:
                if site_share(self.problem, unit, site) is None:
                    self.model.add(self.fit[unit.name, site] == 0)
                fed = total((1, v) for f, v in self.feed if (f.unit, f.site) == (unit.name, site))
                self.model.add(fed == self.fit[unit.name, site])
        for place in self.problem.places:
            here = [v for (_, site), v in self.fit.items() if site == place.name]
            self.model.add(total((1, v) for v in here) <= place.units)

    def circuits(self) -> None:
        """Every load in one circuit, of a unit that is fitted where the circuit says, or fused at the source."""
        for load in self.problem.loads:
            self.model.add_exactly_one(v for o, v in (*self.take, *self.direct) if load.name in o.loads)
        for option, taken in self.take:
            self.model.add_implication(taken, self.fit[option.unit, option.site])

    def returns(self) -> None:
        """A return for each load that has one: behind what its circuit is behind, and within the volts left."""
        for outs, direct in ((self.out, False), (self.direct, True)):
            for out, taken in outs:
                for job, left_v in zip(out.jobs, out.left_v, strict=False):
                    if job not in self.back:
                        found = returns(self.problem, job, direct=direct)
                        self.back[job] = [(back, self.model.new_bool_var("")) for back in found]
                    good = [v for back, v in self.back[job] if at_most(back.volts, left_v)]
                    self.model.add_bool_or([*good, taken.negated()])
        for load in self.problem.loads:
            self.model.add_at_most_one(v for job, found in self.back.items() if job[0] == load.name for _, v in found)

    def parts(self) -> list[tuple[Part, Var]]:
        """Everything that may be chosen of circuits and direct loads."""
        return [*self.out, *self.direct, *(chosen for found in self.back.values() for chosen in found)]

    def outputs(self) -> None:
        """An output in one circuit; spare ones in none."""
        for unit in self.problem.units:
            for outputs in self.problem.unit_type[unit.type].outputs:
                for pin in outputs.pins:
                    using = [v for o, v in self.take if o.unit == unit.name and pin in o.pins]
                    self.model.add_at_most_one(using)
            for name, kept in unit.spare:
                there = sum(len(c.pins) for c in self.problem.unit_type[unit.type].outputs if c.name == name)
                fitted = total((1, self.fit[unit.name, s]) for s in unit.sites)
                used = total((len(o.pins), v) for o, v in self.take if o.unit == unit.name and o.class_name == name)
                self.model.add(used <= (there - kept) * fitted)

    def currents(self) -> None:
        """Units, banks and feeds in every condition, with any few of the loads at their spread."""
        for unit in self.problem.units:
            kind, spare = self.problem.unit_type[unit.type], limit_ma(unit.spare_current_a)
            for site in unit.sites:
                share = site_share(self.problem, unit, site)
                if share is None:
                    continue
                use, fitted = share * self.problem.margins.unit_use, self.fit[unit.name, site]
                here = [(o, v) for o, v in self.take if (o.unit, o.site) == (unit.name, site)]
                fed = total((f.capacity_ma, v) for f, v in self.feed if (f.unit, f.site) == (unit.name, site))
                for worst in self.worst_cases(here):
                    self.model.add(worst + spare * fitted <= limit_ma(kind.continuous_a * use))
                    self.model.add(worst + spare * fitted <= fed)
                for bank in kind.banks:
                    for worst in self.worst_cases([(o, v) for o, v in here if o.bank == bank.name]):
                        self.model.add(worst <= limit_ma(bank.continuous_a * use))

    def worst_cases(self, here: list[tuple[Circuit, Var]]) -> Iterable[cp_model.LinearExpr]:
        """The current of circuits, for each condition and each set of loads that may be at their spread."""
        return (current for _, current in self.by_condition(here))

    def by_condition(self, here: list[tuple[Circuit, Var]]) -> Iterable[tuple[int, cp_model.LinearExpr]]:
        """The same with the number of the condition."""
        return ((m, total(terms)) for m, terms in self.terms_by_condition(here))

    def terms_by_condition(self, here: list[tuple[Circuit, Var]]) -> Iterable[tuple[int, Terms]]:
        """The same term by term."""
        loads = self.problem.load
        strayed = [load.name for load in self.problem.loads if load.spread > 0]
        sets = combinations(strayed, min(self.problem.margins.robust, len(strayed)))
        for high in list(sets):
            for m in range(len(self.problem.conditions)):
                drawn = {n: heating_ma(load, m) for n, load in loads.items()}
                drawn |= {n: drawn[n] + spread_ma(loads[n], m) for n in high}
                yield m, [(sum(drawn[n] for n in o.loads), v) for o, v in here]

    def starts(self) -> None:
        """The fuse of a feed stands the start of every load behind it, beside what else the unit draws."""
        for unit in self.problem.units:
            spare = limit_ma(unit.spare_current_a)
            for site in unit.sites:
                slot = (unit.name, site)
                here = [(o, v) for o, v in self.take if (o.unit, o.site) == slot]
                for load in self.problem.loads:
                    fed = total((1, v) for o, v in here if load.name in o.loads)
                    if load.inrush_a is None or load.inrush_s is None:
                        continue
                    start = ceil(1000 * load.inrush_a - 1e-6)
                    stood = total(
                        (limit_ma(fuse_stands_a(f.fuse_a, load.inrush_s)), v)
                        for f, v in self.feed
                        if (f.unit, f.site) == slot
                    )
                    for m, worst in self.by_condition(here):
                        if load.levels[m] > 0:
                            more = start - heating_ma(load, m)
                            self.model.add(worst + spare * self.fit[slot] + more * fed <= stood)

    def takers(self) -> list[Taker]:
        """All that may lie in segments."""
        found = [Taker(line, taken) for part, taken in self.parts() for line in part.lines]
        found += [Taker(line, taken, (feed.unit, feed.site)) for feed, taken in self.feed for line in feed.lines]
        return found + [Taker(line, None) for part in self.given or () for line in part.lines]

    def drawn(self, slot: Slot, condition: int) -> list[Terms]:
        """What the feed of a unit at a site may carry in a condition, with what is kept spare."""
        unit, site = slot
        here = [(o, v) for o, v in self.take if (o.unit, o.site) == slot]
        spare = (limit_ma(self.problem.unit[unit].spare_current_a), self.fit[unit, site])
        return [[*terms, spare] for m, terms in self.terms_by_condition(here) if m == condition]

    def bulkheads(self) -> None:
        """A contact of a set that would do for every wire that crosses, a stud for every feed."""
        crossing: dict[tuple[str, frozenset[int]], list[Var]] = defaultdict(list)
        for part, taken in self.parts():
            for need in part.needs:
                crossing[need].append(taken)
        kept: Counter[tuple[str, frozenset[int]]] = Counter(n for part in self.given or () for n in part.needs)
        for bulkhead in self.problem.bulkheads:
            held: dict[int, list[Var]] = {n: [] for n in range(len(bulkhead.contacts))}
            for name, good in dict.fromkeys([*crossing, *kept]):
                if name == bulkhead.name:
                    wires = total((1, v) for v in crossing[name, good]) + kept[name, good]
                    split = {n: self.model.new_int_var(0, bulkhead.contacts[n].count, "") for n in good}
                    self.model.add(total((1, v) for v in split.values()) == wires)
                    for n, count in split.items():
                        held[n].append(count)
            for n, counts in held.items():
                self.model.add(total((1, v) for v in counts) <= bulkhead.contacts[n].count)
            through = total((f.bulkheads.count(bulkhead.name), v) for f, v in self.feed)
            self.model.add(through <= bulkhead.studs)

    def together(self) -> None:
        """Loads of one word on one unit."""
        for word in {load.together for load in self.problem.loads if load.together is not None}:
            names = [load.name for load in self.problem.loads if load.together == word]
            for unit in self.problem.units:
                for name in names[1:]:
                    self.model.add(self.on(names[0], unit) == self.on(name, unit))

    def on(self, load: str, unit: Unit) -> cp_model.LinearExpr:
        """Whether a unit feeds a load."""
        return total((1, v) for o, v in self.take if load in o.loads and o.unit == unit.name)

    def survival(self, names: tuple[str, ...], loss: int, against: tuple[str, ...]) -> None:
        """At most ``loss`` of the loads are taken away by any one failure."""
        units = self.problem.units
        if "source" in against:
            for source in self.problem.sources:
                fed = {u.name for u in units if u.source == source.name}
                behind = [(o, v) for o, v in self.take if o.unit in fed]
                behind += self.direct if source is self.problem.sources[0] else []
                self.model.add(_lost(names, behind) <= loss)
        for unit in units:
            kind = self.problem.unit_type[unit.type]
            here = [(o, v) for o, v in self.take if o.unit == unit.name]
            if "feed" in against or "unit" in against:
                self.model.add(_lost(names, here) <= loss)
            for bank in {c.bank for c in kind.outputs} if "bank" in against else ():
                self.model.add(_lost(names, [(o, v) for o, v in here if o.bank == bank]) <= loss)
            for pin in [p for c in kind.outputs for p in c.pins] if "output" in against else ():
                self.model.add(_lost(names, [(o, v) for o, v in here if pin in o.pins]) <= loss)
        for bulkhead in self.problem.bulkheads if "bulkhead" in against else ():
            self.model.add(total((1, self.cut_off(n, bulkhead.name)) for n in names) <= loss)
        for place in self.problem.places if "stud" in against else ():
            lost = total(
                (sum(n in names and s == place.name for n, s in zip(o.loads, o.studs, strict=True)), v)
                for o, v in (*self.out, *self.direct)
            )
            self.model.add(lost <= loss)

    def cut_off(self, load: str, bulkhead: str) -> Var:
        """Whether a load is lost with a bulkhead: by a wire of its own, or by the feed of its unit."""
        lost = self.model.new_bool_var("")
        own = [(o.cut[o.loads.index(load)], v) for o, v in (*self.out, *self.direct) if load in o.loads]
        own += [(b.cut[0], v) for job, found in self.back.items() if job[0] == load for b, v in found]
        for crossed, taken in own:
            if bulkhead in crossed:
                self.model.add_implication(taken, lost)
        for feed, laid in self.feed:
            if bulkhead in feed.bulkheads:
                slot = (feed.unit, feed.site)
                behind = total((1, v) for o, v in self.take if load in o.loads and (o.unit, o.site) == slot)
                self.model.add(behind + laid - 1 <= lost)
        return lost

    def studs(self) -> None:
        """Heating current of the loads whose return ends at a stud."""
        for place in self.problem.places:
            if place.stud_a is not None:
                for m in range(len(self.problem.conditions)):
                    ends = [
                        (heating_ma(self.problem.load[n], m), v)
                        for o, v in (*self.out, *self.direct)
                        for n, s in zip(o.loads, o.studs, strict=True)
                        if s == place.name
                    ]
                    self.model.add(total(ends) <= limit_ma(place.stud_a))

    def objective(self) -> None:
        """Copper, outputs used and unused, mass, splices: in milligrams."""
        prices = self.problem.prices
        used, unused = milligrams(prices.used_output_g), milligrams(prices.unused_output_g)
        costs = [(len(o.pins) * (used - unused), v) for o, v in self.take]
        costs += [(part.cost_mg, v) for part, v in self.parts()]
        costs += [(f.cost_mg, v) for f, v in self.feed]
        for unit in self.problem.units:
            kind = self.problem.unit_type[unit.type]
            count = sum(len(c.pins) for c in kind.outputs) - sum(n for _, n in unit.spare)
            mass = milligrams(prices.unit_mass * kind.mass_g)
            costs += [(count * unused + mass, self.fit[unit.name, s]) for s in unit.sites]
        self.model.minimize(total(costs) + sum(part.cost_mg for part in self.given or ()))


def _lost(names: tuple[str, ...], circuits: list[tuple[Circuit | Out, Var]]) -> cp_model.LinearExpr:
    return total((sum(n in names for n in o.loads), v) for o, v in circuits)
