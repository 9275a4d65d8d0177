"""Objects as they are read, under their names, with the records they came from."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any, TypeVar

from allocator.problem import Mistake
from allocator.problem.draft import Draft
from allocator.problem.duplicates import duplicate
from allocator.problem.references import unknown_name
from allocator.reading.record import Record

T = TypeVar("T")

REFERENCES = {
    "loads": {"place": "places", "return": "returns", "unit": "units"},
    "segments": {"from": "places", "to": "places", "bulkhead": "bulkheads"},
    "runs": {"load": "loads", "site": "places"},
    "wires": {"from": "places", "to": "places"},
    "sources": {"place": "places"},
    "units": {"type": "unit_types", "source": "sources", "sites": "places"},
    "functions": {"loads": "loads"},
}
"""Columns and keys that name an object of some part."""


class Parts:
    """What is known of a problem while it is read.

    ``known`` holds, by part, every name, those of objects that have a mistake among them; a part that cannot
    be read is absent. ``whole`` names the parts of which every object is good.
    """

    def __init__(self, mistakes: list[Mistake]):
        self.mistakes = mistakes
        self.known: dict[str, frozenset[str]] = {}
        self.whole: set[str] = set()
        self._records: dict[tuple[str, str], Record] = {}
        self._broken: list[tuple[str, Record]] = []

    def take(
        self, part: str, column: str, read: Iterable[tuple[Record, str | None, str | None, T | None]]
    ) -> tuple[T, ...]:
        """Take the objects of a part, and refuse those whose key was there before.

        ``read`` holds record, name, key that must not stand twice (None: the name) and object of each.
        """
        first: dict[str, Record] = {}
        good: list[T] = []
        names: set[str] = set()
        told: set[int] = set()
        whole = named = True
        for record, name, key, item in read:
            unique = key or name
            if unique and unique in first:
                if id(record) not in told:
                    twice = duplicate(part, record.row or "", column, unique, first[unique].row)
                    record.fail(column, twice.wrong, twice.remedy, unique)
                told.add(id(record))
                whole = False
                continue
            if unique:
                first[unique] = record
            if name:
                names.add(name)
                self._records.setdefault((part, name), record)
            named = named and bool(name)
            if item is None:
                whole = False
                self._broken.append((part, record))
            else:
                good.append(item)
        if named:
            # a name that cannot be read may be any that is asked for
            self.known[part] = frozenset(names)
        if whole:
            self.whole.add(part)
        return tuple(good)

    def check_broken(self, draft: Draft) -> None:
        """Check the names that broken records use: the cross-checks see only the objects of good ones."""
        for part, record in self._broken:
            for key, target in REFERENCES.get(part, {}).items():
                value = record.values.get(key)
                names = value if isinstance(value, list) else [name_in(record, key)]
                for name in names:
                    if isinstance(name, str) and (told := unknown_name(draft, target, name)) is not None:
                        record.fail(key, *told, name)

    def forget(self, part: str) -> None:
        """Nothing can be said of a part: it could not be read, or not all of it."""
        self.known.pop(part, None)
        self.whole.discard(part)

    def located(self, mistake: Mistake, settings_file: str, files: dict[str, str]) -> Mistake:
        """A mistake of an object as one of the file, and of the row, that it was read from."""
        record = self._records.get((mistake.table, str(mistake.row)))
        if record is not None:
            return replace(mistake, table=record.file, row=record.row)
        if mistake.table in files:
            return replace(mistake, table=files[mistake.table])
        return replace(mistake, table=settings_file, row=mistake.table)


def name_in(record: Record, key: str) -> str | None:
    """The name a record gives itself, whether the rest of it is right or not."""
    value: Any = record.values.get(key)
    return (" ".join(value.split()) or None) if isinstance(value, str) else None
