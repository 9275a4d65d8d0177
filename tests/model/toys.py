"""Models of a few columns without a problem behind them."""

from __future__ import annotations

from allocator.model.model import Model
from allocator.model.rows import Row
from allocator.model.variables import Term, Variables
from allocator.options import list_options
from tests.problem.samples import problem

PRICING = list_options(problem())


class Toy:
    """A model of a few columns without a problem behind it."""

    def __init__(self) -> None:
        self.variables = Variables(PRICING)
        self.rows: list[tuple[str, Row]] = []

    def model(self, *objective: Term) -> Model:
        return Model(PRICING, self.variables, tuple(self.rows), objective)

    def hold(self, row: Row) -> None:
        self.rows.append(("toy", row))
