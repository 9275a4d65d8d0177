"""Models of a few columns without a problem behind them."""

from __future__ import annotations

from allocator.choosing.model import Model
from allocator.choosing.rows import Row
from allocator.choosing.variables import Term, Variables
from allocator.pricing import price
from tests.problem.samples import problem

PRICING = price(problem())


class Toy:
    """A model of a few columns without a problem behind it."""

    def __init__(self) -> None:
        self.variables = Variables(PRICING)
        self.rows: list[tuple[str, Row]] = []

    def model(self, *objective: Term) -> Model:
        return Model(PRICING, self.variables, tuple(self.rows), objective)

    def hold(self, row: Row) -> None:
        self.rows.append(("toy", row))
