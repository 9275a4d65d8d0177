"""Bound tightening: what stands in no layout better than the incumbent is left out of the model."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import inf

from allocator.choosing.lp_relaxation import LpRelaxation
from allocator.choosing.model import Model, build
from allocator.pricing import Option, Pricing, Watch

SPARED_G = 1e-3
"""Grams by which a reduced cost has to pass the gap: what rounding may do to it is less."""


@dataclass(frozen=True)
class Dear:
    """Options that are too dear to stand in anything better, by what they are to the segments watched at the time."""

    watch: Watch
    kinds: frozenset[object]

    def has(self, option: Option, watch: Watch) -> bool:
        """Whether an option made for other watched segments is one of them."""
        return _kind(option, self.watch, watch) in self.kinds


@dataclass(frozen=True)
class Fixed:
    """What is left of a pricing, all that is known of too dear options, and the reduced cost of each that is left."""

    pricing: Pricing
    dear: tuple[Dear, ...]
    reduced_g: tuple[float, ...] = ()

    def cheapest(self, count: int) -> Pricing:
        """So many options of least reduced cost: a good layout is most likely of these. It proves nothing."""
        order = sorted(range(len(self.reduced_g)), key=lambda o: (self.reduced_g[o], o))
        return self.pricing.of_options(self.pricing.options[o] for o in sorted(order[:count]))


def fixed(pricing: Pricing, incumbent_g: float, known: Iterable[Dear]) -> Fixed:
    """A pricing without what stands in nothing better than the incumbent, by its LP relaxation.

    Bounds are tightened by probing: a slot, a feed or a direct circuit with which the relaxation passes the incumbent
    is left out, and the relaxation solved again. Then options are, by their reduced cost: a choice that takes one of
    them weighs more than the incumbent. So does one that takes what was found too dear with fewer segments watched, or
    what is only heavier.
    """
    known, watch = tuple(known), pricing.watch
    listed = [option for option in pricing.options if not any(dear.has(option, watch) for dear in known)]
    pricing = pricing.of_options(listed)
    model = build(pricing)
    most_g = incumbent_g + SPARED_G
    tight = _tightened(model, most_g)
    if tight is None:
        return Fixed(pricing, known)
    bound_g, reduced_g, gone = tight
    v = model.variables
    own_g = [reduced_g[v.take[option.index].index] for option in pricing.options]
    kept = [
        option
        for option in pricing.options
        if own_g[option.index] <= most_g - bound_g and v.fit[option.slot].index not in gone
    ]
    cheap = {_kind(option, watch, watch) for option in kept}
    dear = {_kind(option, watch, watch) for option in pricing.options} - cheap
    left = pricing.of_options(
        kept,
        [f for f in pricing.feeds if not {v.feed[f.index].index, v.fit[f.slot].index} & gone],
        [d for d in pricing.direct if v.direct[d.index].index not in gone],
    )
    return Fixed(left, (*known, Dear(watch, frozenset(dear))), tuple(own_g[option.index] for option in kept))


def _tightened(model: Model, most_g: float) -> tuple[float, tuple[float, ...], set[int]] | None:
    """Optimum and reduced costs of the LP relaxation, without the columns that pass so many grams; None if unknown."""
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


def _kind(option: Option, watch: Watch, own: Watch) -> object:
    members = option.candidate.members
    return (members, option.slot, option.outputs, option.takes, option.plan.seen(watch, own))
