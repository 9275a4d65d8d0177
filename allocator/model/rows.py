"""Variables and rows of the model as plain objects, before any solver sees them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from allocator.clock import heed_clock
from allocator.model.keys import Key


class Sense(StrEnum):
    """How a row relates to its right-hand side."""

    AT_MOST = "<="
    AT_LEAST = ">="
    EQUAL = "="


@dataclass(frozen=True, slots=True)
class Variable:
    """A column of the model. ``upper`` None: no upper bound; the lower bound is always 0."""

    index: int
    name: str
    upper: float | None = 1.0
    integer: bool = True


@dataclass(frozen=True, slots=True)
class Row:
    """One linear relation: ``sum(coefficient * variable) sense right``.

    ``key``: what it is about; a word where nobody asks.
    """

    key: Key | str
    terms: tuple[tuple[Variable, float], ...]
    sense: Sense
    right: float

    @property
    def name(self) -> str:
        """The key as text."""
        return str(self.key)

    def __str__(self) -> str:
        parts = []
        for variable, coefficient in self.terms:
            sign = "-" if coefficient < 0 else "+"
            size = abs(coefficient)
            parts.append(f"{sign} {'' if size == 1 else f'{size:g} '}{variable.name}")
        left = " ".join(parts) or "0"
        return f"{self.name}: {left.removeprefix('+ ')} {self.sense} {self.right:g}"


def row(key: Key | str, terms: Iterable[tuple[Variable, float]], sense: Sense, right: float) -> Row:
    """A row with the terms of each variable added up, in the order of the variables, zeros left out.

    Parameters
    ----------
    key
        What the row is about.
    terms
        Variables, each with its factor; a variable may come more than once.
    sense
        ``<=``, ``>=`` or ``=``.
    right
        The right-hand side.
    """
    heed_clock()
    sums: dict[Variable, float] = {}
    for variable, coefficient in terms:
        sums[variable] = sums.get(variable, 0.0) + coefficient
    kept = tuple(sorted(((v, c) for v, c in sums.items() if c != 0.0), key=lambda term: term[0].index))
    return Row(key, kept, sense, right)


def at_most(key: Key | str, terms: Iterable[tuple[Variable, float]], right: float) -> Row:
    """``sum <= right``."""
    return row(key, terms, Sense.AT_MOST, right)


def at_least(key: Key | str, terms: Iterable[tuple[Variable, float]], right: float) -> Row:
    """``sum >= right``."""
    return row(key, terms, Sense.AT_LEAST, right)


def equal(key: Key | str, terms: Iterable[tuple[Variable, float]], right: float) -> Row:
    """``sum = right``."""
    return row(key, terms, Sense.EQUAL, right)
