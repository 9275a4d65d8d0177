"""A layout beside the options that it was chosen from."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from functools import cached_property

from allocator.evaluation.context import Context
from allocator.evaluation.laid_conductors import followed, shortest
from allocator.evaluation.recompute import recomputed
from allocator.explaining.swapping import LayoutSolution, Swap
from allocator.layout import OPTIMAL, Circuit, Layout, LayoutError
from allocator.model.separation import separate
from allocator.options import LazyRows, Option, OptionList, empty_option_list, list_options
from allocator.problem import Bundling, Line, Problem
from allocator.search.warm_start import options_taken, pairs_in, solution_from


@dataclass(frozen=True)
class ExplainedLayout:
    """A complete layout of a problem, and the option list that says what else there was."""

    problem: Problem
    layout: Layout
    option_list: OptionList

    @staticmethod
    def of(context: Context) -> ExplainedLayout:
        """A layout as it was evaluated, with what a hand left out filled in, beside the options of the problem.

        Raises
        ------
        LayoutError
            Where units or sites of the layout are not those of the problem.
        """
        problem, layout = context.problem, recomputed(context)
        lazy, own = LazyRows(), pairs_in(empty_option_list(problem), layout)
        while True:
            # which segments need lazy rows is seen by the circuits of the layout alone
            explained_layout = ExplainedLayout(problem, layout, list_options(problem, lazy=lazy, only=own))
            if explained_layout.taken is None:
                raise LayoutError(
                    "layout: a unit of it is not in the problem, or not at one of its sites. Check it with "
                    "'allocator check', or leave it out to have the problem solved."
                )
            more = lazy | (explained_layout._unlisted(context) or explained_layout._too_light())
            if more == lazy:
                return ExplainedLayout(problem, layout, list_options(problem, lazy=lazy))
            lazy = more

    def _unlisted(self, context: Context) -> LazyRows:
        """The segments of circuits that are not listed: heavier wires and ways round are only listed with lazy rows."""
        if self.problem.margins.bundle is Bundling.NONE or self.taken is None:
            return LazyRows()
        segments: set[int] = set()
        for circuit, option in zip(self.layout.circuits, self.taken[1], strict=True):
            for wire in circuit.wires if option is None else ():
                for route in (
                    followed(self.problem, context.network, wire.route),
                    shortest(self.problem, context.network, wire.start, wire.end, Line.WIRE),
                ):
                    segments |= {*(() if route is None else route.segments)}
        return LazyRows(dict.fromkeys(sorted(segments), ()))

    def _too_light(self) -> LazyRows:
        """Where the layout as it is listed would break a rule: its feeds are heavier, for cables lie beside them."""
        if self.as_solution is None:
            return LazyRows()
        chosen = self.as_solution.completed
        return LazyRows() if chosen is None else separate(self.option_list, chosen)

    @cached_property
    def taken(self) -> tuple[dict[str, int], tuple[Option | None, ...]] | None:
        """Slot of each unit, option of each circuit (None: not among what is listed)."""
        found = options_taken(self.option_list, self.layout)
        return None if found is None else ({name: slot.index for name, slot in found[0].items()}, found[1])

    @cached_property
    def slots(self) -> frozenset[int]:
        """Slots that are fitted."""
        return frozenset(self.taken[0].values()) if self.taken else frozenset()

    @cached_property
    def fitted(self) -> frozenset[str]:
        """Names of the units that are fitted."""
        return frozenset(unit.name for unit in self.layout.units)

    @property
    def proven(self) -> bool:
        """Whether the layout is stated to be the best there is, of the problem as it is now."""
        return self.layout.status == OPTIMAL and self.layout.problem_sha256 == self.problem.digest

    @cached_property
    def as_solution(self) -> LayoutSolution | None:
        """The layout as a solution; None where it is not among what is listed, as one made by hand may be."""
        solution, objective = solution_from(self.option_list, self.layout), self.layout.objective_g
        options = [None if option is None else option.index for option in (self.taken[1] if self.taken else ())]
        if solution is None or objective is None or None in options:
            return None
        own = Counter(index for index in options if index is not None)
        return LayoutSolution(self.option_list, replace(solution, options=tuple(sorted(own.items()))), objective)

    def option_of(self, circuit: Circuit) -> Option | None:
        """The option that a circuit is."""
        if self.taken is None:
            return None
        return self.taken[1][self.layout.circuits.index(circuit)]

    def group_of(self, load: str) -> int:
        """Number of the load group that a load is in."""
        return next(g.index for g in self.option_list.load_groups if load in {own.name for own in g.loads})

    def site_of(self, unit: str) -> str:
        """Where a fitted unit sits."""
        return next(fitted.site for fitted in self.layout.units if fitted.name == unit)

    def unit_at(self, slot: int) -> str:
        """The unit that sits at a slot; where none does, any one of its kind that is not fitted, else any one."""
        for name, index in (self.taken[0] if self.taken else {}).items():
            if index == slot:
                return name
        units = [unit.name for unit in self.option_list.unit_groups[self.option_list.slots[slot].unit_group].units]
        return next((name for name in units if name not in self.fitted), units[0])

    def copper_g(self, circuit: Circuit) -> float:
        """Copper of the wires of a circuit."""
        return round(sum(wire.copper_g or 0.0 for wire in circuit.wires), 3)

    def against(self, members: tuple[tuple[int, int], ...], circuit: Circuit, into: Option) -> Swap:
        """What stands against feeding members of a circuit by another option, all else as it is."""
        out = self.option_of(circuit)
        if self.as_solution is None or out is None:
            return Swap(because="not known, because the layout has circuits that the engine does not list")
        return self.as_solution.swapped(out, members, into)
