"""Everything that may be chosen from, with its price: the one input of the model."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING

from allocator.clock import heed_clock
from allocator.pricing.bench import Workbench
from allocator.pricing.circuits import Alike, Candidate, alike_loads, candidates
from allocator.pricing.conductors import measured_runs
from allocator.pricing.direct import DirectOption, GivenCore, direct_options, given_cores
from allocator.pricing.feeds import FeedOption, feed_options
from allocator.pricing.finished import Finished
from allocator.pricing.options import Option, numbered, options_of
from allocator.pricing.refusals import Refusal
from allocator.pricing.relaxing import relaxation
from allocator.pricing.slots import Kind, Slot, kinds, milliamperes_up, slots
from allocator.pricing.standing import standing_faults
from allocator.pricing.watch import Cutoff, Watch
from allocator.problem import Problem
from allocator.routing import Network

if TYPE_CHECKING:
    from pandas import DataFrame


@dataclass(frozen=True)
class Pricing:
    """Slots, options and feeds of a problem.

    ``faults`` are sentences on what no choice could mend; ``cut_short`` says what a cap has left out.
    """

    problem: Problem
    network: Network
    kinds: tuple[Kind, ...]
    slots: tuple[Slot, ...]
    alike: tuple[Alike, ...]
    candidates: tuple[Candidate, ...]
    options: tuple[Option, ...]
    feeds: tuple[FeedOption, ...]
    refusals: tuple[Refusal, ...]
    faults: tuple[str, ...]
    cut_short: tuple[str, ...]
    watch: Watch = field(default_factory=Watch)
    direct: tuple[DirectOption, ...] = ()
    given: tuple[GivenCore, ...] = ()

    @cached_property
    def heating_ma(self) -> tuple[tuple[int, ...], ...]:
        """Heating current of one load per alike group and condition, whole mA up; shape (groups, conditions)."""
        conditions = range(len(self.problem.conditions))
        return tuple(
            tuple(milliamperes_up(g.sample.current_a * g.sample.heating(m)) for m in conditions) for g in self.alike
        )

    @cached_property
    def spread_ma(self) -> tuple[tuple[int, ...], ...]:
        """By how much one load of a group may exceed ``heating_ma``, whole mA up; shape (groups, conditions)."""
        conditions = range(len(self.problem.conditions))
        return tuple(
            tuple(milliamperes_up(g.sample.current_a * g.sample.heating(m) * g.sample.spread) for m in conditions)
            for g in self.alike
        )

    @cached_property
    def unfed(self) -> tuple[Alike, ...]:
        """Groups of loads that stand in no option at all."""
        fed = {group for option in self.options for group, _ in option.candidate.members}
        return tuple(group for group in self.alike if group.index not in fed)

    @cached_property
    def by_slot(self) -> tuple[tuple[Option, ...], ...]:
        """Options of each slot."""
        groups: list[list[Option]] = [[] for _ in self.slots]
        for option in self.options:
            groups[option.slot].append(option)
        return tuple(tuple(group) for group in groups)

    @cached_property
    def feeds_by_slot(self) -> tuple[tuple[FeedOption, ...], ...]:
        """Feed options of each slot."""
        groups: list[list[FeedOption]] = [[] for _ in self.slots]
        for feed in self.feeds:
            groups[feed.slot].append(feed)
        return tuple(tuple(group) for group in groups)

    def of_options(
        self,
        options: Iterable[Option],
        feeds: Iterable[FeedOption] | None = None,
        direct: Iterable[DirectOption] | None = None,
    ) -> Pricing:
        """The same with no more than these options, numbered anew; None for all feeds, or all direct circuits."""
        return replace(
            self,
            options=tuple(replace(option, index=n) for n, option in enumerate(options)),
            feeds=tuple(replace(f, index=n) for n, f in enumerate(self.feeds if feeds is None else feeds)),
            direct=tuple(replace(d, index=n) for n, d in enumerate(self.direct if direct is None else direct)),
        )

    def frame(self) -> DataFrame:
        """Options as a table: one row an option, units in the column names."""
        from pandas import DataFrame

        rows = []
        for option in self.options:
            slot = self.slots[option.slot]
            rows.append(
                {
                    "option": option.index,
                    "loads": " + ".join(
                        f"{n} x {self.alike[g].sample.name}" if n > 1 else self.alike[g].sample.name
                        for g, n in option.candidate.members
                    ),
                    "unit": slot.unit.name,
                    "site": slot.site,
                    "outputs": option.outputs,
                    "classes": ", ".join(slot.classes[q].output.name for q in sorted(option.classes)),
                    "trip_a": max(trip for _, trip in option.trips),
                    "wires": ", ".join(f"{c.count} x {c.wire.size} {c.role}" for c in option.conductors),
                    "length_m": round(sum(c.count * c.length_m for c in option.conductors), 3),
                    "copper_g": option.copper_g,
                    "drop_v": option.plan.drop_v,
                    "splices": sum(n for _, n in option.plan.splices),
                }
            )
        return DataFrame(rows)


Pairs = Collection[tuple[tuple[tuple[int, int], ...], int]]


def price(
    problem: Problem,
    *,
    relaxed: bool = False,
    only: Pairs | None = None,
    watch: Watch | None = None,
    cutoffs: tuple[Cutoff, ...] = (),
    finished: Finished | None = None,
) -> Pricing:
    """List and price everything that the model may choose from.

    Parameters
    ----------
    relaxed
        Price the relaxation of the problem instead: the same loads, candidates and slots.
    only
        Price just these (members of a candidate, slot) pairs.
    watch
        Segments whose bundles are looked at: in all others each wire is taken to lie alone, which is a relaxation.
    cutoffs
        What is known of all layouts: circuits that are too heavy for any better one are left out.
    finished
        What is built already: finished returns cost nothing, units that are built are told apart.

    Raises
    ------
    TimeUpError
        When the time is up before all is listed: part of it would prove nothing.
    """
    view = relaxation(problem) if relaxed else problem
    network = Network(view)
    kinds_of_units = kinds(view, () if finished is None else finished.units)
    places = slots(view, kinds_of_units)
    alike = alike_loads(problem, finished)
    most = max((c.rating_a for s in places for c in s.classes), default=0.0) * view.margins.output_use
    circuits, cut = candidates(problem, network, alike, most)
    bench = replace(workbench(view, network, alike, watch, finished), cutoffs=cutoffs)
    feeds: list[FeedOption] = []
    for slot in places:
        feeds += feed_options(bench, slot, len(feeds))
    direct, unfed = direct_options(bench)
    given, unlaid = given_cores(bench)
    parts, refusals = [], []
    for slot in places:
        by_bank = bank_matters(view, slot)
        for candidate in circuits:
            heed_clock()
            if only is not None and (candidate.members, slot.index) not in only:
                continue
            found, refused = options_of(bench, candidate, alike, slot, by_bank)
            parts += [(candidate, slot.index, *option) for option in found]
            if candidate.single:
                refusals += refused
    return Pricing(
        problem=view,
        network=network,
        kinds=kinds_of_units,
        slots=places,
        alike=alike,
        candidates=circuits,
        options=numbered(parts),
        feeds=tuple(feeds),
        refusals=tuple(refusals),
        faults=(*standing_faults(problem, network), *unfed, *unlaid),
        cut_short=(*cut, *sorted(bench.cut), *network.cut_short),
        watch=bench.watch,
        direct=direct,
        given=given,
    )


def unpriced(problem: Problem) -> Pricing:
    """A problem before it is priced: its loads and slots, and no option."""
    kinds_of_units = kinds(problem)
    return Pricing(
        problem=problem,
        network=Network(problem),
        kinds=kinds_of_units,
        slots=slots(problem, kinds_of_units),
        alike=alike_loads(problem),
        candidates=(),
        options=(),
        feeds=(),
        refusals=(),
        faults=(),
        cut_short=(),
    )


def workbench(
    problem: Problem,
    network: Network,
    alike: Sequence[Alike],
    watch: Watch | None = None,
    finished: Finished | None = None,
) -> Workbench:
    """A problem ready for pricing."""
    against = [name for f in problem.functions if "bulkhead" in f.against for name in f.loads]
    watched = frozenset(g.index for g in alike if g.sample.name in against or g.sample.item in against)
    built = {} if finished is None else finished.returns
    returns = {g.index: built[g.sample.name] for g in alike if g.sample.name in built}
    runs = measured_runs(problem)
    return Workbench(problem, network, runs, watch=watch or Watch(), watched=watched, returns=returns)


def bank_matters(problem: Problem, slot: Slot) -> bool:
    """Whether the slot's banks may tell: a bank's rating can bind, or a function is held against ``bank``."""
    if any("bank" in function.against for function in problem.functions):
        return len(slot.bank_limit_ma) > 1
    use = 1000.0 * problem.margins.output_use
    for bank, limit in slot.bank_limit_ma:
        most = sum(use * c.rating_a * len(c.pins) for c in slot.classes if c.bank == bank)
        if limit < min(most, slot.limit_ma):
            return True
    return False
