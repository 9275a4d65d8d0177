"""The model of a revision: what stays is an option at no cost, everything else is paid for and counted as moved."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from allocator.changes.change import with_built_units
from allocator.layout import Layout
from allocator.model import Model
from allocator.model.rows import Row, Variable, at_least, at_most
from allocator.model.variables import Term
from allocator.options import (
    AlreadyBuilt,
    CutShort,
    DirectOption,
    FeedOption,
    GivenCore,
    LazyRows,
    Option,
    OptionList,
    PruningBound,
    list_options,
)
from allocator.options.option_list import Pairs, workbench
from allocator.problem import Fit, Problem
from allocator.revising.built import finished_returns
from allocator.revising.others import finished_direct, finished_feeds, new_direct_with_old_return, unchanged_cores
from allocator.revising.staying import Keeper
from allocator.revising.unfit import UnfitError
from allocator.revising.what_changed import Reasons


@dataclass(frozen=True)
class Revisable:
    """A problem, what is built of it, and what of that may stay.

    ``problem`` keeps each built unit where it is, unless units may move. ``loads`` has the loads of each circuit that
    may stay, ``feeds`` and ``direct`` name the units and direct loads whose feed and wires may, ``reasons`` say why the
    rest may not. ``given`` names the given wires that lie as they must.

    What may stay is judged without lazy rows: what only a warm bundle keeps from staying is moved.
    """

    problem: Problem
    built: Layout
    loads: Mapping[str, tuple[str, ...]]
    feeds: frozenset[str]
    direct: frozenset[str]
    given: frozenset[str]
    reasons: Reasons

    @staticmethod
    def of(problem: Problem, built: Layout, *, resite: bool) -> Revisable:
        """Judge what may stay.

        Parameters
        ----------
        problem
            The problem.
        built
            The layout that is built, without what is gone.
        resite
            Whether units may move to other sites.
        """
        view = problem
        if not resite:
            view = with_built_units(problem, built, lambda unit: replace(unit, fit=Fit.ALWAYS))
        nothing_new = list_options(view, only=(), finished=_finished(built))
        stays = _what_stays(nothing_new, built)
        names = {option.stays for option in stays.options}
        return Revisable(
            view,
            built,
            {circuit.name: circuit.loads for circuit in built.circuits if circuit.name in names},
            frozenset(feed.stays for feed in stays.feeds),
            frozenset(direct.stays for direct in stays.direct if direct.stays),
            stays.given,
            stays.reasons,
        )

    def listed(
        self,
        *,
        only: Pairs | None = None,
        lazy: LazyRows | None = None,
        prunings: tuple[PruningBound, ...] = (),
    ) -> OptionList:
        """The options of the problem and those by which what is built stays, whether or not they are the lightest."""
        option_list = list_options(
            self.problem, only=only, finished=_finished(self.built), lazy=lazy, prunings=prunings
        )
        stays = _what_stays(option_list, self.built)
        options = [option for option in stays.options if option.stays in self.loads]
        if only is not None:
            options = [option for option in options if (option.candidate.members, option.slot) in only]
        whole = option_list.of_options(
            [*option_list.options, *options],
            [*option_list.feeds, *(feed for feed in stays.feeds if feed.stays in self.feeds)],
            [*option_list.direct, *(one for one in stays.direct if not one.stays or one.stays in self.direct)],
        )
        return replace(whole, given=stays.cores, cut_short=(*option_list.cut_short, *stays.cut_short))

    @property
    def movable(self) -> int:
        """How many moves there would be if nothing stayed that can: loads, feeds and direct loads."""
        return sum(len(loads) for loads in self.loads.values()) + len(self.feeds) + len(self.direct)


@dataclass(frozen=True, slots=True)
class _WhatStays:
    """Options by which what is built stays, not numbered, and why the rest cannot; cores of given wires as they lie.

    Among ``direct`` are also new wires with the return as built, which leave nothing but that.
    """

    options: list[Option]
    feeds: list[FeedOption]
    direct: list[DirectOption]
    reasons: Reasons
    cores: tuple[GivenCore, ...]
    given: frozenset[str]
    cut_short: tuple[CutShort, ...]


def _finished(built: Layout) -> AlreadyBuilt:
    return AlreadyBuilt(frozenset(unit.name for unit in built.units), finished_returns(built))


def _what_stays(option_list: OptionList, built: Layout) -> _WhatStays:
    """What may stay, beside the options that are new and with the same lazy rows."""
    problem, lazy = option_list.problem, option_list.lazy
    keeper = Keeper(
        option_list,
        workbench(problem, option_list.network, option_list.load_groups, lazy, _finished(built)),
        {load.name: group for group in option_list.load_groups for load in group.loads},
        {unit.name: unit.site for unit in built.units},
    )
    staying = list(keeper.circuits(built.circuits))
    feeds, no_feeds = _feeds(keeper, built)
    direct, no_direct = _direct(keeper, built)
    reasons = Reasons({one.circuit.name: one.reason for one in staying if one.reason}, no_feeds, no_direct)
    cores, given = unchanged_cores(keeper, built)
    options = [replace(option, stays=one.circuit.name) for one in staying for option in one.options]
    cut_short = tuple(sorted(keeper.bench.cut - {*option_list.cut_short}, key=lambda one: one.text))
    return _WhatStays(options, feeds, direct, reasons, cores, given, cut_short)


def _feeds(keeper: Keeper, built: Layout) -> tuple[list[FeedOption], dict[str, str]]:
    """Options by which each feed stays, and why others cannot, by unit."""
    feeds, reasons = [], {}
    for unit in built.units:
        try:
            feeds += [replace(feed, stays=unit.name) for feed in finished_feeds(keeper, unit)]
        except UnfitError as unfit:
            reasons[unit.name] = str(unfit)
    return feeds, reasons


def _direct(keeper: Keeper, built: Layout) -> tuple[list[DirectOption], dict[str, str]]:
    """The same of direct loads, by load, and options of new wires with the return as built."""
    direct, reasons = [], {}
    for circuit in built.direct:
        try:
            direct += [replace(option, stays=circuit.load) for option in finished_direct(keeper, circuit)]
        except UnfitError as unfit:
            reasons[circuit.load] = str(unfit)
        direct += new_direct_with_old_return(keeper, circuit)
    return direct, reasons


@dataclass(frozen=True)
class Revising:
    """Turns the model of an option list into a revision's, with ``move_g`` for each move and at most so many."""

    revisable: Revisable
    move_g: float
    max_moves: int | None

    def __call__(self, model: Model) -> Model:
        """``copper of what is new + splices + outputs + mass + move (movable - sum_k n[k] stay[k])``."""
        own, v, option_list = self.revisable, model.variables, model.option_list
        prices = own.problem.prices
        built = {unit.name for unit in own.built.units}
        stays = staying(own, model)
        terms = [*model.objective, *((x, -self.move_g * n) for x, n in stays)]
        for option in option_list.options:
            if option.stays:
                terms.append((v.take[option.index], -prices.used_output_g * option.outputs))
        for slot in option_list.slots:
            if slot.unit.name in built:
                terms.append((v.fit[slot.index], -prices.unit_mass * slot.unit_type.mass_g))
        rows = list(_once_as_built(model))
        if self.max_moves is not None:
            rows.append(("stays", at_least("moves", stays, own.movable - self.max_moves)))
        sunk = sum(core.copper_g for core in option_list.given if core.name in own.given)
        constant = round(model.constant_g - sunk, 3) + self.move_g * own.movable
        return replace(model, objective=_added_up(terms), rows=(*model.rows, *rows), constant_g=constant)


@dataclass(frozen=True)
class CountingMoves:
    """Only the moves are minimised."""

    revisable: Revisable

    def __call__(self, model: Model) -> Model:
        """``movable - sum_k n[k] stay[k]``."""
        own = self.revisable
        terms = [(x, -n) for x, n in staying(own, model)]
        rows = (*model.rows, *_once_as_built(model))
        return replace(model, objective=_added_up(terms), rows=rows, constant_g=float(own.movable))


def staying(own: Revisable, model: Model) -> list[Term]:
    """What stays, each with the moves that this spares: the loads of a circuit, one for a feed or direct load."""
    v, option_list = model.variables, model.option_list
    terms = [(v.take[o.index], float(len(own.loads[o.stays]))) for o in option_list.options if o.stays]
    terms += [(v.feed[f.index], 1.0) for f in option_list.feeds if f.stays]
    terms += [(v.direct[d.index], 1.0) for d in option_list.direct if d.stays]
    return terms


def _once_as_built(model: Model) -> Iterator[tuple[str, Row]]:
    """``sum_(o by which k stays) x[o] <= 1``: a circuit is there once, however many loads are alike."""
    by_circuit: dict[str, list[Term]] = {}
    for option in model.option_list.options:
        if option.stays:
            by_circuit.setdefault(option.stays, []).append((model.variables.take[option.index], 1.0))
    for name, terms in by_circuit.items():
        yield "stays", at_most(f"once as built[{name}]", terms, 1)


def _added_up(terms: Sequence[Term]) -> tuple[Term, ...]:
    """Terms with each variable once."""
    sums: dict[Variable, float] = {}
    for variable, grams in terms:
        sums[variable] = sums.get(variable, 0.0) + grams
    return tuple(sums.items())
