"""The page on the problem folder: every column and key that is read stands in it, and nothing else.

A default that it states reads like the key left out; an example reads otherwise, so nothing stands there unread.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

import pytest

from allocator.problem import Mistake
from allocator.reading import loads, network, settings, units, wire_tables
from allocator.reading.headings import Columns, understood
from allocator.reading.raw import TABLES
from allocator.reading.record import Record
from allocator.reading.tables import RawTable, csv_table
from allocator.reading.workbook import SHEETS
from tests.paths import PROBLEMS

TEXT = (PROBLEMS / "README.md").read_text(encoding="utf-8")
VOLTS = loads.Volts(12.0, 13.6, 11.5)
OWN = {name: csv_table(name, b"size,area\n1 mm2,1 mm2\n") for name in ("our-wires.csv", "our-cables.csv")}
WITH_SECTIONS = (*(key for key in settings.TOP_KEYS if key not in ("format", "name")), "outputs")

Read = Callable[[Record], object]


@dataclass(frozen=True)
class Section:
    """One table of the page: what it must list, how a record of it is read, and what a record needs at the least.

    ``besides`` is what a record with some key needs too; where it cannot do without the key, another value of it.
    """

    names: tuple[str, ...]
    read: Read
    base: Mapping[str, Any] = field(default_factory=dict)
    besides: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    columns: Columns | None = None


def of_settings(names: tuple[str, ...], read: Read, base: Mapping[str, Any] = {}, **more: Any) -> Section:
    return Section(names, read, base, **more)


def of_table(columns: Columns, read: Callable[[Any], object], base: Mapping[str, str], **more: Any) -> Section:
    return Section(columns.known, read, base, columns=columns, **more)


def wire_rules(record: Record) -> object:
    tables = (("file", "table"), ("feed_file", "feed_table"))
    found = [wire_tables.read_wires(record, OWN, *keys, 100.0, record.mistakes) for keys in tables]
    return settings.read_wire_rules(record), found


def all_loads(sheet: Any) -> object:
    return [one.loads for one in loads.read_loads(sheet, VOLTS, (), 1)]


def own_wires(sheet: Any) -> object:
    row = sheet.rows[0].record.values
    raw = RawTable("our-wires.csv", tuple(row), ((2, tuple(row.values())),))
    return wire_tables.read_wire_table(raw, raw.file, 100.0, sheet.mistakes)


def first(read: Callable[[Any], object]) -> Callable[[Any], object]:
    return lambda sheet: read(sheet.rows[0])


OUTPUTS = {"class": "fine", "pins": ["1"], "continuous": "16 A", "wire": ["0.5 mm2", "4 mm2"], "trip_step": "1 A"}
TYPE = {"name": "a type", "continuous": "20 A", "outputs": [OUTPUTS]}
IN_BANK = {"banks": [{"name": "left", "continuous": "9 A"}], "outputs": [{**OUTPUTS, "bank": "left"}]}
BY_TRIPS = {"trips": ["9 A"], "trip_step": ""}
SECTIONS = {
    "problem.toml": of_settings(settings.TOP_KEYS, lambda record: record.values),
    "[system]": of_settings(
        settings.SYSTEM_KEYS, settings.read_system, {"nominal": "11.9 V", "running": "13 V", "lowest": "11 V"}
    ),
    "[[sources]]": of_settings(settings.SOURCE_KEYS, settings.read_source, {"name": "a", "place": "b"}),
    "[margins]": of_settings(
        settings.MARGIN_KEYS,
        settings.read_margins,
        besides={"bundle_wires": {"bundle": "table"}, "bundle_loading": {"bundle": "table"}},
    ),
    "[objective]": of_settings(settings.OBJECTIVE_KEYS, settings.read_prices),
    "[wire]": of_settings(settings.WIRE_KEYS, wire_rules),
    "[[unit_types]]": of_settings(units.UNIT_TYPE_KEYS, units.read_unit_type, TYPE, besides={"banks": IN_BANK}),
    "banks": of_settings(units.BANK_KEYS, units._read_bank, {"name": "a", "continuous": "20 A"}),
    "outputs": of_settings(units.OUTPUT_KEYS, units._read_outputs, OUTPUTS, besides={"trips": BY_TRIPS}),
    "[[units]]": of_settings(
        units.UNIT_KEYS,
        lambda record: units.read_unit(record, "first source"),
        {"name": "a", "type": "b", "sites": ["c"]},
    ),
    "[[bulkheads]]": of_settings(units.BULKHEAD_KEYS, units.read_bulkhead, {"name": "a", "contacts": [
        {"count": 1, "wire": ["1 mm2", "2 mm2"]}]}),
    "contacts": of_settings(units.CONTACT_KEYS, units._read_contacts, {"count": 1, "wire": ["1 mm2", "2 mm2"]}),
    "[[functions]]": of_settings(
        settings.FUNCTION_KEYS,
        lambda record: settings.read_function(record, {}),
        {"name": "a", "loads": ["b", "c"], "survive": 2, "against": ["unit"]},
    ),
    "loads.csv": of_table(
        loads.LOAD_COLUMNS,
        all_loads,
        {"load": "a", "place": "b", "current": "5 A"},
        besides={
            "inrush": {"inrush": "9 A", "inrush_time": "1 s"},
            "inrush_time": {"inrush": "9 A", "inrush_time": "1 s"},
            "output": {"unit": "c"},
        },
    ),
    "places.csv": of_table(
        network.PLACE_COLUMNS,
        first(network.read_place),
        {"place": "a"},
        besides=dict.fromkeys("xyz", dict.fromkeys("xyz", "9 m")),
    ),
    "segments.csv": of_table(
        network.SEGMENT_COLUMNS, first(network.read_segment), {"from": "a", "to": "b", "length": "1 m"}
    ),
    "runs.csv": of_table(network.RUN_COLUMNS, first(network.read_run), {"load": "a", "site": "b", "length": "1 m"}),
    "wires.csv": of_table(
        network.GIVEN_WIRE_COLUMNS,
        first(network.read_given_wire),
        {"wire": "a", "from": "b", "to": "c", "size": "1 mm2"},
    ),
    "Wire tables of your own": of_table(wire_tables.WIRE_COLUMNS, own_wires, {"size": "a", "area": "1.1 mm2"}),
}  # fmt: skip


def rows_of(title: str) -> list[list[str]]:
    """Key, default and example of each row of a section."""
    (section,) = re.findall(rf"^#+ {re.escape(title)}\n(.*?)(?=^#|\Z)", TEXT, flags=re.MULTILINE | re.DOTALL)
    rows = re.findall(r"^\| `([^`]+)` \| *(.*?) *\| *(.*?) *\|.*\|$", section, flags=re.MULTILINE)
    return [list(row) for row in rows]


def literal(cell: str) -> str | None:
    """What a cell holds that is one value as it would be written; None for words about it."""
    found = re.fullmatch(r"`([^`]+)`", cell)
    return found[1] if found else None


def read(section: Section, values: Mapping[str, Any]) -> object:
    """A record of a section, read without a mistake."""
    mistakes: list[Mistake] = []
    if section.columns is None:
        found = section.read(Record(mistakes, "problem.toml", "here", values))
    else:
        raw = RawTable("table.csv", tuple(values), ((2, tuple(values.values())),))
        found = section.read(understood(raw, section.columns, mistakes))  # type: ignore[arg-type]
    assert [mistake.wrong for mistake in mistakes] == []
    return found


def with_and_without(title: str, key: str, written: str) -> tuple[object, object]:
    """A record with a key as it is written, and the same without it."""
    section = SECTIONS[title]
    value = written if section.columns is not None else tomllib.loads(f"value = {written}")["value"]
    without = {**section.base, **section.besides.get(key, {})}
    return read(section, {**without, key: value}), read(section, without)


CELLS = [(title, *row) for title in SECTIONS for row in rows_of(title)]


@pytest.mark.parametrize("title", SECTIONS)
def test_a_section_lists_all_that_is_read_and_nothing_else(title: str) -> None:
    assert sorted(row[0] for row in rows_of(title)) == sorted(SECTIONS[title].names)


def test_every_table_of_columns_has_its_section() -> None:
    titles = re.findall(r"^#+ (.+)$", TEXT, flags=re.MULTILINE)
    tables = [title for title in titles if rows_of(title)]
    assert tables == list(SECTIONS)
    assert {f"{table}.csv" for table in TABLES} <= set(titles)


@pytest.mark.parametrize(
    ("title", "key", "written"),
    [(title, key, written) for title, key, cell, _ in CELLS if (written := literal(cell)) is not None],
)
def test_a_default_reads_like_the_key_left_out(title: str, key: str, written: str) -> None:
    given, left_out = with_and_without(title, key, written)
    assert given == left_out


@pytest.mark.parametrize(("title", "key", "example"), [(title, key, cell) for title, key, _, cell in CELLS])
def test_an_example_is_read(title: str, key: str, example: str) -> None:
    written = literal(example)
    if written is None:
        assert key in WITH_SECTIONS, "only what has a section of its own goes without an example"
        return
    given, left_out = with_and_without(title, key, written)
    assert given != left_out


@pytest.mark.parametrize("sheet", SHEETS)
def test_every_sheet_of_a_workbook_is_named(sheet: str) -> None:
    (section,) = re.findall(r"^## A workbook\n(.*?)(?=^# )", TEXT, flags=re.MULTILINE | re.DOTALL)
    assert f"`{sheet}`" in section
