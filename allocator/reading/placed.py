"""Values that know the cell of a workbook they stand in, so that a mistake can name it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True, slots=True)
class Spot:
    """Where values stand: a table, a row of it, and how the column of a key is called there.

    ``rows`` gives keys a row of their own (the settings sheet has one for each); ``columns`` the heading that a
    key stands under where that is not the key itself.
    """

    file: str
    row: int | str | None
    rows: Mapping[str, int] = field(default_factory=dict)
    columns: Mapping[str, str] = field(default_factory=dict)
    units: Mapping[str, str] = field(default_factory=dict)

    def at(self, key: str | None) -> tuple[int | str | None, str | None]:
        """Row and column of a key."""
        if key is None:
            return self.row, None
        return self.rows.get(key, self.row), self.columns.get(key, key)


class Placed(dict[str, Any]):
    """A table of settings as TOML would give it, with the spot it was read from."""

    def __init__(self, values: Mapping[str, Any], spot: Spot):
        super().__init__(values)
        self.spot = spot
