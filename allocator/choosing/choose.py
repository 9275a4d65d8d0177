"""From a pricing to a choice: one option per circuit, and what is known of its worth."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import inf

from allocator.choosing.model import Model, build
from allocator.choosing.solver import Outcome, Progress, run
from allocator.pricing import Pricing

OPTIMAL, FEASIBLE, INFEASIBLE, NOTHING_FOUND = "optimal", "feasible", "infeasible", "nothing-found"

EQUAL_G = 1e-6
"""Grams within which two objectives are the same figure."""


@dataclass(frozen=True, slots=True)
class Choice:
    """What was chosen: (option, how often), fitted slots, feeds, (slot, class, spare outputs), direct options.

    ``objective_g``, ``bound_g`` and ``gap`` are None when unknown; ``gap`` is (objective - bound) / objective.
    """

    status: str
    options: tuple[tuple[int, int], ...] = ()
    slots: tuple[int, ...] = ()
    feeds: tuple[int, ...] = ()
    spare: tuple[tuple[int, int, int], ...] = ()
    direct: tuple[int, ...] = ()
    objective_g: float | None = None
    bound_g: float | None = None
    gap: float | None = None
    interrupted: bool = False
    nodes: int = 0
    solver: str = ""


def choose(
    pricing: Pricing,
    *,
    time_limit_s: float | None = None,
    gap: float = 0.0,
    start: Choice | None = None,
    progress: Callable[[Progress], None] | None = None,
    change: Callable[[Model], Model] | None = None,
    enough_g: float = inf,
    target_g: float = -inf,
    kept_back_s: float = 0.0,
) -> Choice:
    """The best choice that can be found and how far it is proven.

    A bound of ``enough_g`` ends the search, and a choice of ``target_g``; where it has found nothing it leaves
    ``kept_back_s`` of the limit.
    ``start`` is a choice to begin from. ``optimal`` is said only where the
    bound meets the objective. ``change`` may add rows to the model, and put another objective in place of its own.
    """
    if pricing.faults:
        return Choice(status=INFEASIBLE)
    model = build(pricing) if change is None else change(build(pricing))
    values = None if start is None else values_of(model, start)
    outcome = run(
        model,
        time_limit_s=time_limit_s,
        gap=gap,
        start=values,
        progress=progress,
        enough_g=enough_g,
        target_g=target_g,
        kept_back_s=kept_back_s,
    )
    return choice_of(model, outcome)


def held_against(choice: Choice, bound_g: float | None) -> Choice:
    """The choice with a bound from elsewhere in place of its own: optimal where they meet, else feasible."""
    if choice.objective_g is None:
        return replace(choice, status=NOTHING_FOUND, bound_g=bound_g, gap=None)
    if bound_g is None:
        return replace(choice, status=FEASIBLE, bound_g=None, gap=None)
    if choice.objective_g - bound_g <= EQUAL_G:
        return replace(choice, status=OPTIMAL, bound_g=choice.objective_g, gap=0.0)
    gap = (choice.objective_g - bound_g) / abs(choice.objective_g)
    return replace(choice, status=FEASIBLE, bound_g=bound_g, gap=gap)


def pairs_of(pricing: Pricing, choice: Choice) -> set[tuple[tuple[tuple[int, int], ...], int]]:
    """Members and slot of every circuit of a choice: what to price when only they are to be made good."""
    return {(pricing.options[o].candidate.members, pricing.options[o].slot) for o, _ in choice.options}


def by_the_wires_of(pricing: Pricing, other: Pricing, choice: Choice) -> Pricing:
    """A pricing of the same slots with no more options than those of the very wires of a choice of the other."""
    taken = (other.options[o] for o, _ in choice.options)
    wires = {(own.candidate.members, own.slot, own.outputs, own.plan.key) for own in taken}
    return pricing.of_options(
        option
        for option in pricing.options
        if (option.candidate.members, option.slot, option.outputs, option.plan.key) in wires
    )


def values_of(model: Model, choice: Choice) -> dict[int, float]:
    """Values of the columns that a choice decides: circuits, slots, spares. The solver completes the rest."""
    v = model.variables
    taken, spare = dict(choice.options), {(s, q): n for s, q, n in choice.spare}
    values = {x.index: float(taken.get(o, 0)) for o, x in enumerate(v.take)}
    values |= {x.index: float(s in choice.slots) for s, x in enumerate(v.fit)}
    values |= {x.index: float(spare.get(place, 0)) for place, x in v.spare.items()}
    return values


def choice_of(model: Model, outcome: Outcome) -> Choice:
    """What an outcome of the solver means, and how far it is proven."""
    common = {"interrupted": outcome.interrupted, "nodes": outcome.nodes, "solver": outcome.version}
    if outcome.infeasible:
        return Choice(status=INFEASIBLE, **common)  # type: ignore[arg-type]
    bound = None if outcome.bound_g is None else round(outcome.bound_g + model.constant_g, 6)
    if outcome.values is None:
        return Choice(status=NOTHING_FOUND, bound_g=bound, **common)  # type: ignore[arg-type]
    v, whole = model.variables, [round(x) for x in outcome.values]
    chosen = sum(c * (whole[x.index] if x.integer else outcome.values[x.index]) for x, c in model.objective)
    objective = round(chosen + model.constant_g, 6)
    choice = Choice(
        status=FEASIBLE,
        options=tuple((o, whole[c.index]) for o, c in enumerate(v.take) if whole[c.index]),
        slots=tuple(s for s, c in enumerate(v.fit) if whole[c.index]),
        feeds=tuple(f for f, c in enumerate(v.feed) if whole[c.index]),
        spare=_spares(model, whole),
        direct=tuple(d for d, c in enumerate(v.direct) if whole[c.index]),
        objective_g=objective,
        **common,  # type: ignore[arg-type]
    )
    return held_against(choice, objective if outcome.proven else bound)


def _spares(model: Model, whole: list[int]) -> tuple[tuple[int, int, int], ...]:
    found = []
    for slot in model.pricing.slots:
        if not whole[model.variables.fit[slot.index].index]:
            continue
        for number in range(len(slot.classes)):
            count = sum(round(c) * whole[x.index] for x, c in model.variables.spare_terms(slot, number))
            if count:
                found.append((slot.index, number, count))
    return tuple(found)
