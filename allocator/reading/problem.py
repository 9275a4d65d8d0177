"""From raw settings and tables to a frozen problem, with every mistake of all of them in one report."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from allocator.problem import (
    Mistake,
    Problem,
    ProblemError,
    WireTable,
)
from allocator.reading import network, settings
from allocator.reading.folder import read_folder
from allocator.reading.headings import Columns, Row, understood
from allocator.reading.loads import LOAD_COLUMNS, ReadLoads, read_loads
from allocator.reading.raw import RawProblem
from allocator.reading.record import Record
from allocator.reading.units import read_bulkhead, read_unit, read_unit_type
from allocator.reading.wire_tables import builtin_table, read_wire_table

T = TypeVar("T")


def read_problem(path: str | os.PathLike[str]) -> Problem:
    """Read a problem folder.

    Parameters
    ----------
    path
        Folder with ``problem.toml``, ``loads.csv``, ``places.csv`` and, where wanted, ``segments.csv``,
        ``runs.csv``, ``wires.csv`` and wire tables of the user's own.

    Raises
    ------
    ProblemError
        With every mistake found in the whole folder.
    """
    mistakes: list[Mistake] = []
    raw = _opened(Path(path), mistakes)
    problem = _Assembly(raw, mistakes).problem()
    if problem is None or mistakes:
        raise ProblemError(mistakes)
    return problem


def _opened(path: Path, mistakes: list[Mistake]) -> RawProblem:
    wrong, remedy = "", "Give the path of a problem folder"
    try:
        if path.is_dir():
            return read_folder(path, mistakes)
        if path.suffix.lower() in (".xlsx", ".xls", ".ods"):
            wrong = "is a workbook, and reading one is not yet supported"
            remedy = "Save each sheet as a CSV file in a folder and give the path of the folder"
        else:
            wrong = "is a file" if path.exists() else "does not exist"
    except (OSError, ValueError) as error:
        wrong = f"cannot be read ({error})"
    raise ProblemError([Mistake(table=str(path), wrong=wrong, remedy=remedy)])


class _Assembly:
    """Reads the parts of a problem one after the other, each knowing what those before it made known."""

    def __init__(self, raw: RawProblem, mistakes: list[Mistake]):
        self.raw = raw
        self.mistakes = mistakes
        # settings that cannot be read are told of once: what they lack is then nobody's mistake
        heard = mistakes if raw.settings is not None else []
        self.top = Record(heard, raw.settings_file, None, raw.settings or {})
        self.known_settings = raw.settings is not None

    def problem(self) -> Problem | None:
        """The problem, or None where anything is wrong with it."""
        self.top.check_keys(settings.TOP_KEYS)
        settings.check_format(self.top)
        name = self.top.text("name") or self.raw.name
        system = settings.read_system(self.top.child("system"))
        conditions = system.conditions or settings.ALL_ON
        margins = settings.read_margins(self.top.child("margins"))
        prices = settings.read_prices(self.top.child("objective"))
        wire = self.top.child("wire")
        rules = settings.read_wire_rules(wire)
        sources = [settings.read_source(record) for record in self.top.children("sources", "source")]
        bulkheads = [read_bulkhead(record) for record in self.top.children("bulkheads", "bulkhead")]
        types = [read_unit_type(record) for record in self.top.children("unit_types", "unit type")]
        first = next((source.name for source in sources if source is not None), None)
        units = [read_unit(record, first) for record in self.top.children("units", "unit")]
        read = self._loads(system, conditions)
        items = {one.item: one.names for one in read if one.item is not None}
        functions = [settings.read_function(r, items) for r in self.top.children("functions", "function")]
        wires = self._wire_table(wire, "file", "table", "metric thin-wall", rules)
        feed_wires = self._wire_table(wire, "feed_file", "feed_table", "metric battery cable", rules)
        places = self._table("places", network.PLACE_COLUMNS, network.read_place)
        segments = self._table("segments", network.SEGMENT_COLUMNS, network.read_segment)
        runs = self._table("runs", network.RUN_COLUMNS, network.read_run)
        given = self._table("wires", network.GIVEN_WIRE_COLUMNS, network.read_given_wire)
        if self.mistakes or system.volts is None or wires is None or feed_wires is None:
            return None
        return Problem(
            name=name,
            nominal_v=system.volts.nominal,
            running_v=system.volts.running,
            lowest_v=system.volts.lowest,
            loads=tuple(load for one in read for load in one.loads),
            places=_whole(places),
            unit_types=_whole(types),
            units=_whole(units),
            sources=_whole(sources),
            wires=wires,
            feed_wires=feed_wires,
            ambient_c=45.0 if system.ambient_c is None else system.ambient_c,
            altitude_m=system.altitude_m or 0.0,
            conditions=conditions,
            segments=_whole(segments),
            runs=_whole(runs),
            bulkheads=_whole(bulkheads),
            functions=_whole(functions),
            given_wires=_whole(given),
            **({} if margins is None else {"margins": margins}),
            **({} if prices is None else {"prices": prices}),
            **({} if rules is None else {"wire_rules": rules}),
            digest=self.raw.digest(),
        )

    def _loads(self, system: settings.System, conditions: tuple[str, ...]) -> list[ReadLoads]:
        if "loads" not in self.raw.tables:
            return []
        from dataclasses import replace

        columns = replace(LOAD_COLUMNS, levels=conditions)
        sheet = understood(self.raw.tables["loads"], columns, self.mistakes)
        return read_loads(sheet, system.volts, conditions)

    def _table(self, name: str, columns: Columns, read: Callable[[Row], T]) -> list[T]:
        if name not in self.raw.tables:
            return []
        return [read(row) for row in understood(self.raw.tables[name], columns, self.mistakes).rows]

    def _wire_table(self, wire: Record, file_key: str, key: str, default: str, rules) -> WireTable | None:
        file = wire.text(file_key)
        if file is not None:
            raw = self.raw.own_wires.get(file)
            return None if raw is None else read_wire_table(raw, file, rules.insulation_c, self.mistakes)
        return builtin_table(wire.text(key) or default)


def _whole(objects: list[T | None]) -> tuple[T, ...]:
    return tuple(item for item in objects if item is not None)
