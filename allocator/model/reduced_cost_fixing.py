"""Bound tightening: what is in no layout better than the incumbent is left out of the model."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import cache
from math import inf

from allocator.model.lp_relaxation import LpRelaxation
from allocator.model.model import Model, build
from allocator.options import LazyRows, Option, OptionList, SlotClass

SPARED_G = 1e-3
"""Grams by which a reduced cost has to exceed the gap: more than rounding may add to it."""


@dataclass(frozen=True)
class FixedOptions:
    """Options fixed at zero by their reduced cost, by what they are to the segments that had lazy rows at the time."""

    lazy: LazyRows
    footprints: frozenset[object]

    def has(self, option: Option, option_list: OptionList) -> bool:
        """Whether an option made for other lazy rows, or banks not joined, is one of them by each of its classes."""
        return _footprints(option, self.lazy, option_list) <= self.footprints


@dataclass(frozen=True)
class AfterFixing:
    """What is left of an option list, all options fixed so far, and the reduced cost of each that is left.

    ``bound_g``: nothing that is lighter than the incumbent is lighter than this; None where that is not known.
    """

    option_list: OptionList
    fixed: tuple[FixedOptions, ...]
    reduced_g: tuple[float, ...] = ()
    bound_g: float | None = None

    def cheapest(self, count: int) -> OptionList:
        """So many options of least reduced cost: a good layout is most likely of these. It proves nothing."""
        order = sorted(range(len(self.reduced_g)), key=lambda o: (self.reduced_g[o], o))
        return self.option_list.of_options(self.option_list.options[o] for o in sorted(order[:count]))


def fix_by_reduced_cost(
    option_list: OptionList,
    incumbent_g: float,
    earlier: Iterable[FixedOptions],
    change: Callable[[Model], Model] | None = None,
) -> AfterFixing:
    """An option list without what is in no layout better than the incumbent, by its LP relaxation.

    Bounds are tightened by probing: a slot, a feed or a direct circuit with which the relaxation exceeds the incumbent
    is left out, and the relaxation solved again. Then options are, by their reduced cost: a solution that takes one of
    them weighs more than the incumbent. So does one that takes what was fixed with fewer lazy rows, or
    what is only heavier.

    Parameters
    ----------
    option_list
        What may be chosen.
    incumbent_g
        Objective of the incumbent, in grams.
    earlier
        Options fixed before, with fewer lazy rows.
    change
        The search's change of the model, as of `optimise`.
    """
    earlier, lazy = tuple(earlier), option_list.lazy
    listed = [option for option in option_list.options if not any(fixed.has(option, option_list) for fixed in earlier)]
    option_list = option_list.of_options(listed)
    model = build(option_list) if change is None else change(build(option_list))
    most_g = incumbent_g + SPARED_G
    tight = _tightened(model, most_g)
    if tight is None:
        return AfterFixing(option_list, earlier)
    bound_g, reduced_g, gone = tight
    v = model.variables
    own_g = [reduced_g[v.take[option.index].index] for option in option_list.options]
    kept = [
        option
        for option in option_list.options
        if own_g[option.index] <= most_g - bound_g and v.fit[option.slot].index not in gone
    ]
    cheap = {own for option in kept for own in _footprints(option, lazy, option_list)}
    fixed = {own for option in option_list.options for own in _footprints(option, lazy, option_list)} - cheap
    left = option_list.of_options(
        kept,
        [f for f in option_list.feeds if not {v.feed[f.index].index, v.fit[f.slot].index} & gone],
        [d for d in option_list.direct if v.direct[d.index].index not in gone],
    )
    left_g = tuple(own_g[option.index] for option in kept)
    return AfterFixing(left, (*earlier, FixedOptions(lazy, frozenset(fixed))), left_g, bound_g)


def _tightened(model: Model, most_g: float) -> tuple[float, tuple[float, ...], set[int]] | None:
    """Optimum and reduced costs of the LP relaxation, without columns that exceed so many grams; None if unknown."""
    lp, v = LpRelaxation(model), model.variables
    gone: set[int] = set()
    found: tuple[float, tuple[float, ...], set[int]] | None = None
    while True:
        bound_g = lp.solve()
        if bound_g is None:
            return found
        reduced_g = lp.reduced_g
        found = bound_g, reduced_g, set(gone)
        if most_g == inf:
            return found
        for column in (*v.fit, *v.feed, *v.direct):
            if column.index not in gone and (
                reduced_g[column.index] > most_g - bound_g or lp.passes(column, 1.0, most_g)
            ):
                lp.without(column)
                gone.add(column.index)
        if len(gone) == len(found[2]):
            return found


def _footprints(option: Option, lazy: LazyRows, option_list: OptionList) -> frozenset[object]:
    """What an option is to the segments with lazy rows: one for each class of outputs that it may take."""
    classes, seen = option_list.slots[option.slot].classes, option.plan.seen(lazy, option_list.lazy)
    common = (option.candidate.members, option.slot, option.outputs, seen, option.stays)
    if option.takes:
        return frozenset({(*common, tuple(sorted((_kind(classes[q]), n) for q, n in option.takes)))})
    return frozenset((*common, _kind(classes[q])) for q in option.classes)


@cache
def _kind(one: SlotClass) -> object:
    """Which outputs they are, whatever their bank: with the banks joined classes have other numbers."""
    return replace(one.output, bank=None, pins=("any",)), one.pins if one.pinned else ()
