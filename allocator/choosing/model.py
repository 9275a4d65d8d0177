"""The whole model: variables, rows of every family, objective."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace

from allocator.choosing.families import FAMILIES
from allocator.choosing.objective import objective
from allocator.choosing.rows import Row, Variable
from allocator.choosing.variables import Term, Variables, variables
from allocator.pricing import Pricing


@dataclass(frozen=True)
class Model:
    """A mixed-integer program: minimise ``objective`` over ``columns`` subject to ``rows``, each under its family.

    ``constant_g`` (the copper of given wires) belongs to the objective; the solver does not see it.
    """

    pricing: Pricing
    variables: Variables
    rows: tuple[tuple[str, Row], ...]
    objective: tuple[Term, ...]
    constant_g: float = 0.0

    @property
    def columns(self) -> tuple[Variable, ...]:
        """All variables, in order."""
        return tuple(self.variables.columns)

    def in_parts(self, whole: Collection[int] = ()) -> Model:
        """The model with parts of every column allowed but of those in ``whole``: what that cannot, this cannot."""
        columns = [replace(column, integer=column.index in whole) for column in self.columns]
        return replace(self, variables=replace(self.variables, columns=columns))


def build(pricing: Pricing, without: Collection[str] = ()) -> Model:
    """The model of a pricing. ``without`` names families to leave out: for tests that each of them is needed."""
    made = variables(pricing)
    rows = [(name, row) for name, family in FAMILIES.items() if name not in without for row in family(made)]
    given = round(sum(core.copper_g for core in pricing.given), 3)
    return Model(pricing, made, tuple(rows), tuple(objective(made)), given)
