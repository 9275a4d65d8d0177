"""Names and pairs that appear twice."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from allocator.problem.draft import Draft
from allocator.problem.mistakes import Mistake

REMEDIES = {
    "segments": "Name a place on one of them if there are two ways",
    "runs": "Keep only the right one",
}


def key_of_pair(a: str, b: str) -> str:
    """Two places as one key, whichever comes first."""
    return " - ".join(sorted((a, b)))


def duplicate(table: str, row: str | int, column: str, value: str, first: str | int | None = None) -> Mistake:
    """The mistake of a name, or of a pair of names, that appears twice in a table.

    Parameters
    ----------
    table
        File or sheet.
    row
        The row of the second one.
    column
        Its column.
    value
        The name, or both names.
    first
        The row of the first one, where known.
    """
    place = f" (first in row {first})" if isinstance(first, int) else ""
    wrong = f"appears twice{place}"
    remedy = REMEDIES.get(table, "Give each a name of its own")
    return Mistake(table=table, row=row, field=column, value=value, wrong=wrong, remedy=remedy)


def duplicates(draft: Draft) -> Iterator[Mistake]:
    """Every name that is given a second time, and every second run between the same two.

    A second segment between two places is refused by the reader only: routing takes the shorter and says so.
    """
    named: tuple[tuple[str, str, Iterable[str]], ...] = (
        ("loads", "load", (load.name for load in draft.loads)),
        ("places", "place", (place.name for place in draft.places)),
        ("runs", "site", (run.name for run in draft.runs)),
        ("wires", "wire", (wire.name for wire in draft.given_wires)),
        ("unit_types", "name", (unit_type.name for unit_type in draft.unit_types)),
        ("units", "name", (unit.name for unit in draft.units)),
        ("sources", "name", (source.name for source in draft.sources)),
        ("bulkheads", "name", (bulkhead.name for bulkhead in draft.bulkheads)),
        ("functions", "name", (function.name for function in draft.functions)),
    )
    for table, column, names in named:
        seen: set[str] = set()
        for name in names:
            if name in seen:
                yield duplicate(table, name, column, name)
            seen.add(name)
