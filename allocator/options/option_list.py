"""Every option that the model may take, in grams: its one input."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING

from allocator.clock import heed_clock
from allocator.options.already_built import AlreadyBuilt
from allocator.options.bank_relaxation import with_banks_joined
from allocator.options.candidates import Candidate, candidates
from allocator.options.circuit_options import Option, numbered, options_of
from allocator.options.conductor_listing import measured_runs
from allocator.options.cut_short import CutShort
from allocator.options.direct_options import DirectOption, GivenCore, direct_options, given_cores
from allocator.options.faults import Fault
from allocator.options.feed_options import FeedOption, feed_options
from allocator.options.lazy_rows import LazyRows
from allocator.options.load_groups import LoadGroup, load_groups_of
from allocator.options.pruning import PruningBound
from allocator.options.refusals import Refusal
from allocator.options.slots import Slot, UnitGroup, milliamperes_up, slots, unit_groups_of
from allocator.options.stud_faults import stud_faults
from allocator.options.workbench import Workbench
from allocator.problem import Problem
from allocator.routing import Network, network_of

if TYPE_CHECKING:
    from pandas import DataFrame


@dataclass(frozen=True)
class OptionList:
    """Slots, options and feeds of a problem.

    ``faults`` are what no solution could mend; ``cut_short`` is what a cap has left out.
    """

    problem: Problem
    network: Network
    unit_groups: tuple[UnitGroup, ...]
    slots: tuple[Slot, ...]
    load_groups: tuple[LoadGroup, ...]
    candidates: tuple[Candidate, ...]
    options: tuple[Option, ...]
    feeds: tuple[FeedOption, ...]
    refusals: tuple[Refusal, ...]
    faults: tuple[Fault, ...]
    cut_short: tuple[CutShort, ...]
    lazy: LazyRows = field(default_factory=LazyRows)
    direct: tuple[DirectOption, ...] = ()
    given: tuple[GivenCore, ...] = ()

    @cached_property
    def heating_ma(self) -> tuple[tuple[int, ...], ...]:
        """Heating current of one load per load group and condition, whole mA up; shape (groups, conditions)."""
        conditions = range(len(self.problem.conditions))
        return tuple(
            tuple(milliamperes_up(g.sample.current_a * g.sample.heating(m)) for m in conditions)
            for g in self.load_groups
        )

    @cached_property
    def spread_ma(self) -> tuple[tuple[int, ...], ...]:
        """By how much one load of a group may exceed ``heating_ma``, whole mA up; shape (groups, conditions)."""
        conditions = range(len(self.problem.conditions))
        return tuple(
            tuple(milliamperes_up(g.sample.current_a * g.sample.heating(m) * g.sample.spread) for m in conditions)
            for g in self.load_groups
        )

    @cached_property
    def unfed(self) -> tuple[LoadGroup, ...]:
        """Groups of loads that no option feeds."""
        fed = {group for option in self.options for group, _ in option.candidate.members}
        return tuple(group for group in self.load_groups if group.index not in fed)

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
    ) -> OptionList:
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
                        f"{n} x {self.load_groups[g].sample.name}" if n > 1 else self.load_groups[g].sample.name
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


def list_options(
    problem: Problem,
    *,
    banks_joined: bool = False,
    only: Pairs | None = None,
    lazy: LazyRows | None = None,
    prunings: tuple[PruningBound, ...] = (),
    finished: AlreadyBuilt | None = None,
) -> OptionList:
    """List everything that the model may take, in grams.

    Parameters
    ----------
    banks_joined
        List those of the problem with the banks of each unit joined: the same loads, candidates and slots.
    only
        List just these (members of a candidate, slot) pairs.
    lazy
        Segments whose bundles have rows: in all others each wire is without derating, which is a relaxation.
    prunings
        What is known of all layouts: circuits that are too heavy for any better one are left out.
    finished
        What is built already: finished returns cost nothing, units that are built are told apart.

    Raises
    ------
    TimeUpError
        When the time is up before all is listed: part of it would prove nothing.
    """
    view = with_banks_joined(problem) if banks_joined else problem
    # joined banks change no way
    network = network_of(problem)
    unit_groups = unit_groups_of(view, () if finished is None else finished.units)
    places = slots(view, unit_groups)
    load_groups = load_groups_of(problem, finished)
    most = max((c.rating_a for s in places for c in s.classes), default=0.0) * view.margins.output_use
    circuits, cut = candidates(problem, network, load_groups, most)
    bench = replace(workbench(view, network, load_groups, lazy, finished), prunings=prunings)
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
            found, refused = options_of(bench, candidate, load_groups, slot, by_bank)
            parts += [(candidate, slot.index, *option) for option in found]
            if candidate.single:
                refusals += refused
    return OptionList(
        problem=view,
        network=network,
        unit_groups=unit_groups,
        slots=places,
        load_groups=load_groups,
        candidates=circuits,
        options=numbered(parts),
        feeds=tuple(feeds),
        refusals=tuple(refusals),
        faults=(*stud_faults(problem, network), *unfed, *unlaid),
        cut_short=(*cut, *bench.cut_short),
        lazy=bench.lazy,
        direct=direct,
        given=given,
    )


def empty_option_list(problem: Problem) -> OptionList:
    """A problem before its options are listed: its loads and slots, and no option."""
    unit_groups = unit_groups_of(problem)
    return OptionList(
        problem=problem,
        network=network_of(problem),
        unit_groups=unit_groups,
        slots=slots(problem, unit_groups),
        load_groups=load_groups_of(problem),
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
    load_groups: Sequence[LoadGroup],
    lazy: LazyRows | None = None,
    finished: AlreadyBuilt | None = None,
) -> Workbench:
    """A problem ready for its options to be listed.

    Parameters
    ----------
    problem
        The problem.
    network
        Its route network.
    load_groups
        Groups of interchangeable loads, by number.
    lazy
        Rows on bundles that have been added so far.
    finished
        What is built already and may stay.
    """
    against = [name for f in problem.functions if "bulkhead" in f.against for name in f.loads]
    guarded = frozenset(g.index for g in load_groups if g.sample.name in against or g.sample.item in against)
    built = {} if finished is None else finished.returns
    returns = {g.index: built[g.sample.name] for g in load_groups if g.sample.name in built}
    runs = measured_runs(problem)
    return Workbench(problem, network, runs, lazy=lazy or LazyRows(), guarded=guarded, returns=returns)


def bank_matters(problem: Problem, slot: Slot) -> bool:
    """Whether the slot's banks may tell: a bank's rating can bind, or a function must survive the loss of a bank."""
    if any("bank" in function.against for function in problem.functions):
        return len(slot.bank_limit_ma) > 1
    use = 1000.0 * problem.margins.output_use
    for bank, limit in slot.bank_limit_ma:
        most = sum(use * c.rating_a * len(c.pins) for c in slot.classes if c.bank == bank)
        if limit < min(most, slot.limit_ma):
            return True
    return False
