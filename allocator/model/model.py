"""The whole model: variables, rows of every constraint family, objective."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace

from allocator.model.constraints import CONSTRAINTS
from allocator.model.objective import objective
from allocator.model.rows import Row, Variable
from allocator.model.variables import Term, Variables, variables
from allocator.options import OptionList


@dataclass(frozen=True)
class Model:
    """A mixed-integer program: minimise ``objective`` over ``columns`` subject to ``rows``, each by constraint family.

    ``constant_g`` (the copper of given wires) belongs to the objective; the solver does not see it.
    """

    option_list: OptionList
    variables: Variables
    rows: tuple[tuple[str, Row], ...]
    objective: tuple[Term, ...]
    constant_g: float = 0.0

    @property
    def columns(self) -> tuple[Variable, ...]:
        """All variables, in order."""
        return tuple(self.variables.columns)

    def lp_relaxation(self, whole: Collection[int] = ()) -> Model:
        """The LP relaxation, except that columns in ``whole`` stay integer: infeasible only where the model is."""
        columns = [replace(column, integer=column.index in whole) for column in self.columns]
        return replace(self, variables=replace(self.variables, columns=columns))


def build(option_list: OptionList, without: Collection[str] = ()) -> Model:
    """The model of an option list. ``without`` names families to leave out: for tests that each is needed."""
    made = variables(option_list)
    rows = [(name, row) for name, family in CONSTRAINTS.items() if name not in without for row in family(made)]
    given = round(sum(core.copper_g for core in option_list.given), 3)
    return Model(option_list, made, tuple(rows), tuple(objective(made)), given)
