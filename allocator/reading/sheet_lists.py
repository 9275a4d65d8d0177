"""Sheets of what is many in the settings: unit types, banks, outputs, units, sources, bulkheads, functions.

A cell that holds several things parts them by semicolons; two that belong together stand with a colon between them,
as in ``72 A: 0.2 s; 45 A: 1 s``.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from allocator.problem import Mistake
from allocator.problem.near_misses import suggestion
from allocator.reading.headings import Columns, understood
from allocator.reading.placed import Placed, Spot
from allocator.reading.quantities import CAPACITY, CURRENT, MASS, RESISTANCE
from allocator.reading.record import Record
from allocator.reading.settings import FUNCTION_KEYS, SOURCE_KEYS
from allocator.reading.tables import RawTable
from allocator.reading.units import BANK_KEYS, BULKHEAD_KEYS, CONTACT_KEYS, OUTPUT_KEYS, UNIT_KEYS, UNIT_TYPE_KEYS

OWNER = "unit_type"
REMARKS = "remarks"
LISTS: dict[str, tuple[str, ...]] = {
    "unit_types": tuple(key for key in UNIT_TYPE_KEYS if key not in ("banks", "outputs")),
    "banks": (OWNER, *BANK_KEYS),
    "outputs": (OWNER, *OUTPUT_KEYS),
    "units": UNIT_KEYS,
    "sources": SOURCE_KEYS,
    "bulkheads": (*(key for key in BULKHEAD_KEYS if key != "contacts"), *CONTACT_KEYS),
    "functions": FUNCTION_KEYS,
}
"""Columns of each sheet. A bulkhead has a row for each set of contacts."""

_DIMENSIONS = {
    "mass": (MASS,),
    "continuous": (CURRENT,),
    "trip_step": (CURRENT,),
    "spare_current": (CURRENT,),
    "capacity": (CAPACITY,),
    "resistance": (RESISTANCE,),
}


def read_lists(tables: dict[str, RawTable], mistakes: list[Mistake]) -> dict[str, list[Placed]]:
    """Read the sheets as the lists of tables that TOML would give."""
    read = {name: _rows(name, tables[name], mistakes) for name in LISTS if name in tables}
    types = {row["name"]: row for row in read.get("unit_types", ()) if row.get("name")}
    for part in ("banks", "outputs"):
        for row in read.pop(part, ()):
            _hand_over(row, part, types, mistakes)
    if "bulkheads" in read:
        read["bulkheads"] = _bulkheads(read["bulkheads"], mistakes)
    return read


def _rows(name: str, table: RawTable, mistakes: list[Mistake]) -> list[Placed]:
    columns = Columns(needed=(), optional=(*LISTS[name], REMARKS), dimensions=_of(name), shares=("parallel_use",))
    sheet = understood(table, columns, mistakes)
    unknown = {heading for row in sheet.rows for heading, cell in row.extra if cell}
    for heading in sorted(unknown):
        sheet.fail(heading, "is not a known column", suggestion(heading, [*LISTS[name], REMARKS], "column"))
    return [_placed(row.record) for row in sheet.rows]


def _of(name: str) -> dict[str, Any]:
    return {key: dimension for key, dimension in _DIMENSIONS.items() if key in LISTS[name]}


def _placed(record: Record) -> Placed:
    """A row as a table of settings: lists and pairs in its cells are taken apart."""
    spot = Spot(record.file, record.row, units=record.heading_units)
    values: dict[str, Any] = {}
    for key, text in record.values.items():
        if text == "" or key == REMARKS:
            continue
        apart = _APART.get(key)
        value = text if apart is None else apart[0](text, key, spot)
        if value is None:
            assert apart is not None
            record.fail(
                key, "does not separate its items with semicolons and colons", f"Write it like '{apart[1]}'", text
            )
            continue
        values[key] = value
    return Placed(values, spot)


def _items(text: str, _key: str, _spot: Spot) -> list[str]:
    return [item.strip() for item in text.split(";") if item.strip()]


def _pairs(text: str, key: str, spot: Spot) -> list[list[str]] | None:
    pairs = [[part.strip() for part in item.rpartition(":")[::2]] for item in _items(text, key, spot)]
    return pairs if all(first and second for first, second in pairs) else None


def _amounts(text: str, key: str, spot: Spot) -> Placed | None:
    pairs = _pairs(text, key, spot)
    if pairs is None or len({name for name, _ in pairs}) < len(pairs):
        return None
    named = dict(pairs)
    return Placed(named, Spot(spot.file, spot.row, columns=dict.fromkeys(named, key)))


_APART: dict[str, tuple[Callable[[str, str, Spot], Any], str]] = {
    "trips": (_items, "3 A; 5 A; 7.5 A"),
    "hot": (_pairs, "60 degC: 1.0; 85 degC: 0.7"),
    "peaks": (_pairs, "72 A: 0.2 s; 45 A: 1 s"),
    "supply": (_amounts, "driving: 160 A; parked: 5 A"),
    "spare": (_amounts, "heavy: 1; light: 2"),
}


def _hand_over(row: Placed, part: str, types: dict[str, Placed], mistakes: list[Mistake]) -> None:
    """Put a bank or a class of outputs into the unit type that it names."""
    owner = row.pop(OWNER, None)
    if owner in types:
        types[owner].setdefault(part, []).append(row)
        return
    wrong = "is missing" if owner is None else "is not a unit type"
    remedy = suggestion(owner or "", types, "unit type")
    Record.of_table(mistakes, row.spot.file, None, row).fail(OWNER, wrong, remedy, owner)


def _bulkheads(rows: list[Placed], mistakes: list[Mistake]) -> list[Placed]:
    """Rows of one name are one bulkhead with several sets of contacts."""
    found: dict[str, Placed] = {}
    nameless = []
    for row in rows:
        contacts = {key: row.pop(key) for key in CONTACT_KEYS if key in row}
        name = row.get("name")
        if name is None:
            nameless.append(row)
            continue
        whole = found.setdefault(name, row)
        for key in ("kind", "studs"):
            if row.get(key, whole.get(key)) != whole.setdefault(key, row.get(key)):
                wrong = f"is '{whole[key]}' in another row of this bulkhead"
                remedy = "Give the same in each row of it, or only in the first"
                Record.of_table(mistakes, row.spot.file, None, row).fail(key, wrong, remedy, row[key])
            if whole[key] is None:
                del whole[key]
        if contacts:
            whole.setdefault("contacts", []).append(Placed(contacts, row.spot))
    return [*found.values(), *nameless]
