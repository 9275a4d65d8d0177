"""What a problem is made of before anything is typed: settings, tables of text, the bytes they came from."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from typing import Any

from allocator.reading.tables import RawTable

TABLES = ("loads", "places", "segments", "runs", "wires")


@dataclass(slots=True)
class RawProblem:
    """A problem as text, whatever it was read from.

    ``settings`` is None where they cannot be read. ``tables`` holds those that are there and can be read, under
    the names in ``TABLES``; ``broken`` names those that cannot, or are needed and not there. ``own_wires`` holds
    the user's wire tables by the name that the settings call them by. ``called`` says what a message calls a
    table, ``table_names`` those that a problem may have.
    """

    name: str
    settings_file: str
    settings: dict[str, Any] | None = None
    tables: dict[str, RawTable] = field(default_factory=dict)
    broken: set[str] = field(default_factory=set)
    own_wires: dict[str, RawTable] = field(default_factory=dict)
    files: dict[str, bytes] = field(default_factory=dict)
    called: str = "{}.csv"
    table_names: tuple[str, ...] = TABLES

    def digest(self) -> str:
        """SHA-256 over the names and bytes of all that was read, in the order of the names."""
        total = hashlib.sha256()
        for name, data in sorted(self.files.items()):
            total.update(f"{name}\0{len(data)}\0".encode())
            total.update(data)
        return total.hexdigest()

    def table_file(self, name: str) -> str:
        """What to call a table in a message."""
        return self.tables[name].file if name in self.tables else self.called.format(name)
