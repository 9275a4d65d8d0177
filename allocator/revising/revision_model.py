"""The model of a revision: what stays is an option at no cost, everything else is paid for and counted as moved."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from allocator.changes.change import with_built_units
from allocator.layout import Layout
from allocator.model import Model
from allocator.model.rows import Row, Variable, at_least, at_most
from allocator.model.variables import Term
from allocator.options import AlreadyBuilt, LazyRows, Option, OptionList, list_options
from allocator.options.option_list import workbench
from allocator.problem import Fit, Problem
from allocator.revising.built import finished_returns
from allocator.revising.others import finished_direct, finished_feeds, new_direct_with_old_return, unchanged_cores
from allocator.revising.staying import Keeper, StayingCircuit
from allocator.revising.unfit import UnfitError
from allocator.revising.what_changed import Reasons


@dataclass(frozen=True)
class Revisable:
    """An option list with options by which what is built stays, and which options those are.

    ``kept`` has the indices of the options of each circuit that can stay, ``kept_feeds`` and ``kept_direct`` those
    of each unit's feed and each direct load. ``reasons`` say why the rest cannot. ``given`` names the given wires
    that lie as they must.
    """

    option_list: OptionList
    built: Layout
    kept: dict[str, tuple[int, ...]]
    kept_feeds: dict[str, tuple[int, ...]]
    kept_direct: dict[str, tuple[int, ...]]
    given: frozenset[str]
    reasons: Reasons

    @property
    def circuit_of(self) -> dict[int, str]:
        """Name of the circuit that stays by an option."""
        return {o: name for name, own in self.kept.items() for o in own}

    @property
    def loads_of(self) -> dict[str, tuple[str, ...]]:
        """Loads of each circuit that can stay."""
        return {c.name: c.loads for c in self.built.circuits if c.name in self.kept}

    @property
    def movable(self) -> int:
        """How many moves there would be if nothing stayed that can: loads, feeds and direct loads."""
        return sum(len(loads) for loads in self.loads_of.values()) + len(self.kept_feeds) + len(self.kept_direct)


def revisable(problem: Problem, built: Layout, *, resite: bool, lazy: LazyRows) -> Revisable:
    """List the options of a problem with what of a layout is left in it, and with lazy rows.

    What is built stays listed whether or not it is the lightest: it is an option of its own.

    Parameters
    ----------
    problem
        The problem.
    built
        The layout that is built, without what is gone.
    resite
        Whether units may move to other sites.
    lazy
        Rows on bundles that have been added so far.
    """
    view = problem
    if not resite:
        view = with_built_units(problem, built, lambda unit: replace(unit, fit=Fit.ALWAYS))
    finished = AlreadyBuilt(frozenset(unit.name for unit in built.units), finished_returns(built))
    option_list = list_options(view, finished=finished, lazy=lazy)
    keeper = Keeper(
        option_list,
        workbench(view, option_list.network, option_list.load_groups, lazy, finished),
        {load.name: group for group in option_list.load_groups for load in group.loads},
        {unit.name: unit.site for unit in built.units},
    )
    staying = list(keeper.circuits(built.circuits))
    options, kept = _numbered(option_list.options, staying)
    option_list = replace(option_list, options=options)
    option_list, kept_feeds, no_feeds = _with_feeds(keeper, option_list, built)
    option_list, kept_direct, no_direct = _with_direct(keeper, option_list, built)
    reasons = Reasons({one.circuit.name: one.reason for one in staying if one.reason}, no_feeds, no_direct)
    cores, given = unchanged_cores(keeper, built)
    more = sorted(keeper.bench.cut - {*option_list.cut_short}, key=lambda one: one.text)
    option_list = replace(option_list, given=cores, cut_short=(*option_list.cut_short, *more))
    return Revisable(option_list, built, kept, kept_feeds, kept_direct, given, reasons)


def _numbered(
    options: tuple[Option, ...], staying: Sequence[StayingCircuit]
) -> tuple[tuple[Option, ...], dict[str, tuple[int, ...]]]:
    found, kept = list(options), {}
    for one in staying:
        if one.options:
            kept[one.circuit.name] = tuple(range(len(found), len(found) + len(one.options)))
            found += [replace(option, index=len(found) + n) for n, option in enumerate(one.options)]
    return tuple(found), kept


def _with_feeds(
    keeper: Keeper, option_list: OptionList, built: Layout
) -> tuple[OptionList, dict[str, tuple[int, ...]], dict[str, str]]:
    """With options by which each feed stays, numbers of these by unit, and why others cannot, by unit."""
    feeds, kept, reasons = list(option_list.feeds), {}, {}
    for unit in built.units:
        try:
            found = finished_feeds(keeper, unit)
        except UnfitError as unfit:
            reasons[unit.name] = str(unfit)
            continue
        kept[unit.name] = tuple(range(len(feeds), len(feeds) + len(found)))
        feeds += [replace(option, index=len(feeds) + n) for n, option in enumerate(found)]
    return replace(option_list, feeds=tuple(feeds)), kept, reasons


def _with_direct(
    keeper: Keeper, option_list: OptionList, built: Layout
) -> tuple[OptionList, dict[str, tuple[int, ...]], dict[str, str]]:
    """The same of direct loads, by load."""
    direct, kept, reasons = list(option_list.direct), {}, {}
    for circuit in built.direct:
        try:
            found = finished_direct(keeper, circuit)
        except UnfitError as unfit:
            reasons[circuit.load] = str(unfit)
            found = []
        else:
            kept[circuit.load] = tuple(range(len(direct), len(direct) + len(found)))
        found += new_direct_with_old_return(keeper, circuit)
        direct += [replace(option, index=len(direct) + n) for n, option in enumerate(found)]
    return replace(option_list, direct=tuple(direct)), kept, reasons


@dataclass(frozen=True)
class Revising:
    """Turns the model of an option list into a revision's, with ``move_g`` for each move and at most so many."""

    revisable: Revisable
    move_g: float
    max_moves: int | None

    def __call__(self, model: Model) -> Model:
        """``copper of what is new + splices + outputs + mass + move (movable - sum_k n[k] stay[k])``."""
        own, v = self.revisable, model.variables
        prices = model.option_list.problem.prices
        built = {unit.name for unit in own.built.units}
        stays = staying(own, model)
        terms = [*model.objective, *((x, -self.move_g * n) for x, n in stays)]
        for o in own.circuit_of:
            terms.append((v.take[o], -prices.used_output_g * model.option_list.options[o].outputs))
        for slot in model.option_list.slots:
            if slot.unit.name in built:
                terms.append((v.fit[slot.index], -prices.unit_mass * slot.unit_type.mass_g))
        rows = list(_once_as_built(own, model))
        if self.max_moves is not None:
            rows.append(("stays", at_least("moves", stays, own.movable - self.max_moves)))
        sunk = sum(core.copper_g for core in model.option_list.given if core.name in own.given)
        constant = round(model.constant_g - sunk, 3) + self.move_g * own.movable
        return replace(model, objective=_added_up(terms), rows=(*model.rows, *rows), constant_g=constant)


@dataclass(frozen=True)
class CountingMoves:
    """Nothing but the moves is minimised."""

    revisable: Revisable

    def __call__(self, model: Model) -> Model:
        """``movable - sum_k n[k] stay[k]``."""
        own = self.revisable
        terms = [(x, -n) for x, n in staying(own, model)]
        rows = (*model.rows, *_once_as_built(own, model))
        return replace(model, objective=_added_up(terms), rows=rows, constant_g=float(own.movable))


def staying(own: Revisable, model: Model) -> list[Term]:
    """What stays, each with the moves that this spares: the loads of a circuit, one for a feed or direct load."""
    v, loads = model.variables, own.loads_of
    terms = [(v.take[o], float(len(loads[name]))) for o, name in own.circuit_of.items()]
    terms += [(v.feed[f], 1.0) for feeds in own.kept_feeds.values() for f in feeds]
    terms += [(v.direct[d], 1.0) for options in own.kept_direct.values() for d in options]
    return terms


def _once_as_built(own: Revisable, model: Model) -> Iterator[tuple[str, Row]]:
    """``sum_(o by which k stays) x[o] <= 1``: a circuit is there once, however many loads are alike."""
    for name, options in own.kept.items():
        terms = [(model.variables.take[o], 1.0) for o in options]
        yield "stays", at_most(f"once as built[{name}]", terms, 1)


def _added_up(terms: Sequence[Term]) -> tuple[Term, ...]:
    """Terms with each variable once."""
    sums: dict[Variable, float] = {}
    for variable, grams in terms:
        sums[variable] = sums.get(variable, 0.0) + grams
    return tuple(sums.items())
