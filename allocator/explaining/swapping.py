"""One circuit of a known layout put elsewhere, all else left as it is: which limits that passes, or what it costs."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from functools import cached_property

from allocator.clock import TimeUpError, heed_clock
from allocator.model import Model, Solution, build
from allocator.model.bundle_limits import passed_in_bundles
from allocator.model.constraints import TIGHTENING
from allocator.model.elastic import Elastic, Shortfall, held, with_held
from allocator.model.optimise import solution_of
from allocator.model.solver import run
from allocator.options import Option, OptionList

Members = tuple[tuple[int, int], ...]

SHOWN = 3
"""Limits that are named; the rest are counted."""


@dataclass(frozen=True, slots=True)
class Swap:
    """What stands against an option: a sentence on its unit, limits that it passes, or grams that the whole gains."""

    because: str = ""
    passed: tuple[Shortfall, ...] = ()
    more_g: float | None = None

    @property
    def text(self) -> str:
        """Why the option is not taken, in words."""
        if self.because:
            return self.because
        if self.passed:
            shown = "; ".join(one.text for one in self.passed[:SHOWN])
            left = len(self.passed) - SHOWN
            return f"{shown}; and {left} more limit{'s' if left > 1 else ''}" if left > 0 else shown
        if self.more_g is not None:
            return f"with only this moved there, the layout would weigh {self.more_g:.1f} g more"
        return "more than one limit of the rest of the layout"


@dataclass(frozen=True)
class LayoutSolution:
    """A layout as a solution over an option list, and its objective."""

    option_list: OptionList
    solution: Solution
    objective_g: float

    @cached_property
    def _model(self) -> Model:
        return build(self.option_list, without=TIGHTENING)

    def swapped(self, out: Option, members: Members, into: Option) -> Swap:
        """Members of a chosen option fed by another one instead; the rest of a shared circuit stays together."""
        taken = Counter(dict(self.solution.options))
        taken[out.index] -= 1
        left = Counter(dict(out.candidate.members))
        left.subtract(dict(members))
        rest = tuple(sorted((g, n) for g, n in left.items() if n))
        if rest:
            stays = [
                o for o in self.option_list.by_slot[out.slot] if o.candidate.members == rest and o.classes & out.classes
            ]
            if not stays:
                return Swap(because="the loads that share its output would have to move too")
            taken[min(stays, key=lambda o: (o.copper_g, o.index)).index] += 1
        taken[into.index] += 1
        because = self._mounting(into) or self._word(out, into, members)
        return Swap(because=because) if because else self._held(taken)

    def _mounting(self, into: Option) -> str:
        slot = self.option_list.slots[into.slot]
        if slot.index in self.solution.slots:
            return ""
        at = [
            self.option_list.slots[s].site
            for s in self.solution.slots
            if self.option_list.slots[s].unit_group == slot.unit_group
        ]
        if not at:
            return f"unit {slot.unit.name} is not fitted"
        return f"unit {slot.unit.name} sits at {' and '.join(dict.fromkeys(at))}, not at {slot.site}"

    def _word(self, out: Option, into: Option, members: Members) -> str:
        for group, _ in members:
            word = self.option_list.load_groups[group].sample.together
            if word is not None and into.slot != out.slot:
                return f"it stays on one unit with the rest of '{word}'"
        return ""

    @cached_property
    def _elastic(self) -> Elastic:
        return Elastic.of(self.option_list)

    @cached_property
    def completed(self) -> Solution | None:
        """The solution with feeds and direct loads, the lightest that the model has; None where it has none."""
        fixed = self._fixed(Counter(dict(self.solution.options)))
        outcome = run(held(self._model, fixed), confirmed=False)
        if outcome.values is None:
            return None
        return solution_of(self._model, replace(outcome, values=with_held(outcome.values, fixed)))

    def _fixed(self, taken: Counter[int]) -> dict[int, float]:
        """Columns of circuits and fitted slots, held at their values."""
        v = self._model.variables
        fixed = {x.index: float(taken[o]) for o, x in enumerate(v.take)}
        return fixed | {x.index: float(s in self.solution.slots) for s, x in enumerate(v.fit)}

    def _held(self, taken: Counter[int]) -> Swap:
        try:
            model, fixed = self._model, self._fixed(taken)
            outcome = run(held(model, fixed), confirmed=False)
            if outcome.values is not None:
                values = with_held(outcome.values, fixed)
                over = passed_in_bundles(self.option_list, solution_of(model, replace(outcome, values=values)))
                if over:
                    return Swap(passed=tuple(Shortfall(limit, amount) for limit, amount in over))
                grams = model.constant_g + sum(c * values[x.index] for x, c in model.objective)
                return Swap(more_g=round(grams - self.objective_g, 3))
            stretch = self._elastic.stretch(fixed)
            heed_clock()
            if stretch is not None and stretch.interrupted:
                raise TimeUpError
        except TimeUpError:
            return Swap(because="not worked out in the time")
        return Swap() if stretch is None else Swap(passed=stretch.shortfalls)
