"""Every word of the problem format, and in which words two problem folders differ."""

from __future__ import annotations

import csv
import tomllib
from collections.abc import Iterator
from itertools import zip_longest
from pathlib import Path
from typing import Any

from allocator.reading.loads import LOAD_COLUMNS
from allocator.reading.network import GIVEN_WIRE_COLUMNS, PLACE_COLUMNS, RUN_COLUMNS, SEGMENT_COLUMNS
from allocator.reading.settings import (
    FUNCTION_KEYS,
    MARGIN_KEYS,
    OBJECTIVE_KEYS,
    SOURCE_KEYS,
    SYSTEM_KEYS,
    TOP_KEYS,
    WIRE_KEYS,
)
from allocator.reading.units import BANK_KEYS, BULKHEAD_KEYS, CONTACT_KEYS, OUTPUT_KEYS, UNIT_KEYS, UNIT_TYPE_KEYS
from allocator.reading.wire_tables import WIRE_COLUMNS

LEVEL = "level"  # stands for the column of any condition
KEYS = {
    "problem": TOP_KEYS,
    "system": SYSTEM_KEYS,
    "sources": SOURCE_KEYS,
    "margins": MARGIN_KEYS,
    "objective": OBJECTIVE_KEYS,
    "wire": WIRE_KEYS,
    "unit_types": UNIT_TYPE_KEYS,
    "banks": BANK_KEYS,
    "outputs": OUTPUT_KEYS,
    "units": UNIT_KEYS,
    "bulkheads": BULKHEAD_KEYS,
    "contacts": CONTACT_KEYS,
    "functions": FUNCTION_KEYS,
    "loads": (*LOAD_COLUMNS.known, LEVEL),
    "places": PLACE_COLUMNS.known,
    "segments": SEGMENT_COLUMNS.known,
    "runs": RUN_COLUMNS.known,
    "wires": GIVEN_WIRE_COLUMNS.known,
    "wire_table": WIRE_COLUMNS.known,
}
WORDS = frozenset(f"{table}.{key}" for table, keys in KEYS.items() for key in keys)
"""``table.key`` and ``table.column`` of all that a problem may say."""

SINGLE = ("system", "margins", "objective", "wire")
LISTS = ("sources", "unit_types", "banks", "outputs", "units", "bulkheads", "contacts", "functions")


def differing(one: Path, other: Path) -> set[str]:
    """Words in which two problem folders differ; of an item that only one of them has, the word of its list."""
    files = sorted(file.name for file in one.iterdir())
    if files != sorted(file.name for file in other.iterdir()):
        return {"the files themselves"}
    words: set[str] = set()
    for name in files:
        if name == "problem.toml":
            words |= set(_differing_keys("problem", *(tomllib.loads(_text(f, name)) for f in (one, other))))
        else:
            words |= set(_differing_cells(name.removesuffix(".csv"), _text(one, name), _text(other, name)))
    return words


def _text(folder: Path, name: str) -> str:
    return (folder / name).read_text(encoding="utf-8")


def _differing_keys(table: str, one: dict[str, Any], other: dict[str, Any]) -> Iterator[str]:
    for key in one.keys() | other.keys():
        a, b = one.get(key), other.get(key)
        if a == b:
            continue
        if table == "problem" and key in SINGLE:
            yield from _differing_keys(key, a or {}, b or {})
        elif key in LISTS:
            yield from _differing_items(f"{table}.{key}", key, a or [], b or [])
        else:
            yield f"{table}.{key}"


def _differing_items(word: str, table: str, one: list[dict[str, Any]], other: list[dict[str, Any]]) -> Iterator[str]:
    if len(one) == len(other):
        for a, b in zip(one, other, strict=True):
            yield from _differing_keys(table, a, b)
        return
    yield word
    few, many = sorted((one, other), key=len)
    if [item for item in many if item in few] != few:
        yield f"{word}: more than what is added"


def _differing_cells(table: str, one: str, other: str) -> Iterator[str]:
    """Columns, by their headings without units; of a wire table of the user's own whatever its file is called."""
    name = table if table in KEYS else "wire_table"
    rows: list[list[dict[str, str]]] = [list(csv.DictReader(text.splitlines())) for text in (one, other)]
    for a, b in zip_longest(*rows, fillvalue=dict[str, str]()):
        for heading in a.keys() | b.keys():
            if a.get(heading, "") != b.get(heading, ""):
                column = heading.split(" [")[0]
                yield f"{name}.{column if f'{name}.{column}' in WORDS else LEVEL}"
