"""Reduced-cost fixing: options that stand in no layout better than the incumbent are left out of the model."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from allocator.choosing.model import build
from allocator.choosing.solver import relaxed
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


def fixed(pricing: Pricing, incumbent_g: float, known: Iterable[Dear]) -> tuple[Pricing, tuple[Dear, ...]]:
    """A pricing without the options whose reduced cost passes what the incumbent leaves above the LP relaxation.

    A choice that takes one of them weighs more than the incumbent. So does one that takes what was found too dear with
    fewer segments watched, or what is only heavier. All that is known of too dear options comes back with it.
    """
    known, watch = tuple(known), pricing.watch
    listed = [option for option in pricing.options if not any(dear.has(option, watch) for dear in known)]
    pricing = pricing.of_options(listed)
    model = build(pricing)
    found = relaxed(model)
    if found is None:
        return pricing, known
    bound_g, reduced_g = found
    most_g = incumbent_g - bound_g + SPARED_G
    kept = [option for option in pricing.options if reduced_g[model.variables.take[option.index].index] <= most_g]
    cheap = {_kind(option, watch, watch) for option in kept}
    dear = {_kind(option, watch, watch) for option in pricing.options} - cheap
    return pricing.of_options(kept), (*known, Dear(watch, frozenset(dear)))


def _kind(option: Option, watch: Watch, own: Watch) -> object:
    members = option.candidate.members
    return (members, option.slot, option.outputs, option.takes, option.plan.seen(watch, own))
