"""What is wrong with an input, as objects: found one by one, reported together."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum


class MistakeKind(StrEnum):
    """Kinds of mistake that decide what else is looked at."""

    UNKNOWN_NAME = "unknown name"


@dataclass(frozen=True, slots=True, kw_only=True)
class Mistake:
    """One thing that is wrong, and what would do instead.

    ``table`` is the file or table, ``row`` a line number of the file or the name of the object, ``field`` the
    column or key, ``value`` what is there, ``limit`` what it was compared with. ``kind`` is set
    where others go by it.
    """

    table: str
    row: str | int | None = None
    field: str | None = None
    value: str | None = None
    limit: str | None = None
    wrong: str
    remedy: str
    kind: MistakeKind | None = None

    def __str__(self) -> str:
        where = [self.table]
        if self.row is not None:
            where.append(f"row {self.row}" if isinstance(self.row, int) else f"'{self.row}'")
        if self.field is not None:
            where.append(f"column '{self.field}'" if isinstance(self.row, int) else f"'{self.field}'")
        stands = "" if self.value is None else f" '{self.value}'"
        return f"{', '.join(where)}:{stands} {self.wrong}. {self.remedy}."


class ProblemError(ValueError):
    """An input that cannot be used, with every mistake that was found in it."""

    def __init__(self, mistakes: Iterable[Mistake]):
        self.mistakes = tuple(mistakes)
        super().__init__(self.report())

    def report(self) -> str:
        """All mistakes, one a line, under a line that counts them."""
        count = len(self.mistakes)
        head = "1 mistake in the input:" if count == 1 else f"{count} mistakes in the input:"
        return "\n".join([head, *(f"  {mistake}" for mistake in self.mistakes)])
