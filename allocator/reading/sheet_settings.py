"""The settings sheet: one row for each value, such as ``system.nominal`` and ``12 V``."""

from __future__ import annotations

from typing import Any

from allocator.problem import Mistake
from allocator.problem.near_misses import key_of
from allocator.reading.headings import Columns, understood
from allocator.reading.placed import Placed, Spot
from allocator.reading.settings import TOP_KEYS
from allocator.reading.tables import RawTable

COLUMNS = Columns(needed=("setting", "value"), optional=(), dimensions={})
SINGLE = ("format", "name")


def read_settings(table: RawTable, lists: frozenset[str], mistakes: list[Mistake]) -> Placed:
    """Read the sheet as the tables that TOML would give; further columns are remarks.

    ``lists`` names what stands on sheets of its own and cannot be set here.
    """
    tables: dict[str, dict[str, Any]] = {"": {}}
    rows: dict[str, dict[str, int]] = {"": {}}
    for row in understood(table, COLUMNS, mistakes).rows:
        record = row.record
        setting, value = record.text("setting"), record.text("value")
        if setting is None or value is None:
            if value is not None:
                record.fail("setting", "is missing", "Name the setting, such as system.nominal")
            continue
        name, _, key = (key_of(part) for part in setting.partition("."))
        if name in lists or (not key and name not in SINGLE):
            record.fail("setting", "is not a single setting", _remedy(name, lists), setting)
            continue
        home, key = (name, key) if key else ("", name)
        if key in tables.setdefault(home, {}):
            record.fail("setting", "appears twice", "Keep only one of the two rows", setting)
            continue
        tables[home][key] = 1 if (home, key, value) == ("", "format", "1") else value
        rows.setdefault(home, {})[key] = int(record.row or 0)
    return _placed(table.file, tables, rows)


def _remedy(name: str, lists: frozenset[str]) -> str:
    if name in lists:
        return f"Put it on the sheet '{name}'"
    if name in TOP_KEYS:
        return f"Name what of it is set, such as {name}.NAME"
    return "Write the table and the key with a point between them, such as system.nominal or margins.trip"


def _placed(file: str, tables: dict[str, dict[str, Any]], rows: dict[str, dict[str, int]]) -> Placed:
    """The tables with the row that each value stands in."""
    children: dict[str, Any] = {}
    first: dict[str, int] = dict(rows[""])
    for name, values in tables.items():
        if not name:
            continue
        columns = {key: f"value ({name}.{key})" for key in values}
        children[name] = Placed(values, Spot(file, name, rows[name], columns))
        first[name] = min(rows[name].values())
    columns = {key: f"value ({key})" for key in tables[""]}
    return Placed({**tables[""], **children}, Spot(file, None, first, columns))
