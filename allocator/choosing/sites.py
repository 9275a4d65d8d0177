"""Sites first: where units would go if loads could be split at will."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from allocator.choosing.model import Model
from allocator.choosing.rows import at_least
from allocator.choosing.solver import run


@dataclass(frozen=True, slots=True)
class Sites:
    """Slots (None: there are none), and a bound in grams on every layout not yet looked at."""

    slots: frozenset[int] | None
    bound_g: float
    interrupted: bool = False


def best_sites(model: Model, tried: Iterable[frozenset[int]], time_limit_s: float | None = None) -> Sites:
    """Slots of the least bound, with only sites and feeds whole, that do not all lie in one of those ``tried``."""
    v = model.variables
    whole = {x.index for x in (*v.fit, *v.feed)}
    others = [
        ("untried", at_least(f"untried[{n}]", [(x, 1) for s, x in enumerate(v.fit) if s not in sites], 1))
        for n, sites in enumerate(tried)
    ]
    outcome = run(replace(model.in_parts(whole), rows=(*model.rows, *others)), time_limit_s=time_limit_s)
    if outcome.infeasible:
        return Sites(None, float("inf"))
    bound = -float("inf") if outcome.bound_g is None else round(outcome.bound_g + model.constant_g, 6)
    if outcome.values is None:
        return Sites(None, bound, outcome.interrupted)
    fitted = frozenset(s for s, x in enumerate(v.fit) if outcome.values[x.index] > 0.5)
    return Sites(fitted, bound, outcome.interrupted)
