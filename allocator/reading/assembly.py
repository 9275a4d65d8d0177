"""Reads the parts of a problem one after the other, each knowing what those before it made known."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeVar

from allocator.problem import (
    Bulkhead,
    Function,
    GivenWire,
    Load,
    Margins,
    Mistake,
    Place,
    Prices,
    Problem,
    ProblemError,
    Run,
    Segment,
    Source,
    Unit,
    UnitType,
    WireRules,
    WireTable,
)
from allocator.problem.bounds import MOST_OF
from allocator.problem.cross_checks import cross_mistakes
from allocator.problem.doubtful import doubtful
from allocator.problem.draft import Draft
from allocator.problem.duplicates import key_of_pair
from allocator.problem.look_alikes import look_alikes
from allocator.reading import defaults, network, settings
from allocator.reading.headings import Columns, Row, understood
from allocator.reading.loads import LOAD_COLUMNS, read_loads
from allocator.reading.parts import Parts, name_in
from allocator.reading.raw import RawProblem
from allocator.reading.record import Record
from allocator.reading.units import read_bulkhead, read_unit, read_unit_type
from allocator.reading.wire_tables import read_wires, size_in

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class _Settings:
    """What the settings file holds. ``units`` need the sources, ``functions`` the loads: they come later."""

    name: str
    system: settings.System
    margins: Margins | None
    prices: Prices | None
    rules: WireRules | None
    wires: WireTable | None
    feed_wires: WireTable | None


@dataclass(frozen=True, slots=True)
class _Tables:
    """Places and what joins them."""

    places: tuple[Place, ...]
    segments: tuple[Segment, ...]
    runs: tuple[Run, ...]
    given_wires: tuple[GivenWire, ...]


class Assembly:
    """Puts a problem together from its raw form.

    Every mistake is added to ``mistakes``; a name, a row or a file that is wrong is told of once, and nothing
    is then held against what refers to it.
    """

    def __init__(self, raw: RawProblem, mistakes: list[Mistake]):
        self.raw = raw
        self.mistakes = mistakes
        self.parts = Parts(mistakes)
        # settings that cannot be read are reported once: what they lack is then not a mistake
        heard = mistakes if raw.settings is not None else []
        self.top = Record.of_table(heard, raw.settings_file, None, raw.settings or {})
        self.items: dict[str, tuple[str, ...]] = {}
        self.defaults: list[str] = defaults.setting_defaults(raw.settings or {})

    def problem(self) -> Problem | None:
        """The problem, or None where anything is wrong with it."""
        single = self._settings()
        sources = self._sources()
        bulkheads = self._bulkheads()
        unit_types = self._unit_types()
        units = self._units(sources)
        loads = self._loads(single.system)
        functions = self._functions()
        tables = self._tables(single)
        draft = self._draft(single, loads, tables, unit_types, units, sources, bulkheads, functions)
        self.parts.check_broken(draft)
        for mistake in (*cross_mistakes(draft), *doubtful(draft)):
            self.mistakes.append(self._located(mistake))
        return None if self.mistakes else self._whole(single, draft)

    def loads_alone(self) -> tuple[str, tuple[str, ...], tuple[Load, ...]]:
        """Name, conditions and the good loads, from the system and the schedule of loads alone."""
        system = settings.read_system(self.top.child("system"))
        return self.top.text("name") or self.raw.name, system.conditions, self._loads(system)

    def _settings(self) -> _Settings:
        self.top.check_keys(settings.TOP_KEYS)
        settings.check_format(self.top)
        system = settings.read_system(self.top.child("system"))
        wire = self.top.child("wire")
        rules = settings.read_wire_rules(wire)
        insulation_c = (rules or WireRules()).insulation_c
        wires, feed_wires = (
            read_wires(wire, self.raw.own_wires, file, table, insulation_c, self.mistakes)
            for file, table in (("file", "table"), ("feed_file", "feed_table"))
        )
        if rules is not None and wires is not None:
            rules = replace(rules, sizes=tuple(size_in(size, wires) for size in rules.sizes))
        return _Settings(
            self.top.text("name") or self.raw.name,
            system,
            settings.read_margins(self.top.child("margins")),
            settings.read_prices(self.top.child("objective")),
            rules,
            wires,
            feed_wires,
        )

    def _children(self, key: str, kind: str, read: Callable[[Record], T | None]) -> tuple[T, ...]:
        """Objects of a list of tables in the settings."""
        before = self.top.ok
        self.top.ok = True
        records = self.top.children(key, kind, MOST_OF[key])
        found = self.parts.take(key, "name", [(r, name_in(r, "name"), None, read(r)) for r in records])
        if not self.top.ok or self.raw.settings is None:
            self.parts.forget(key)
        self.top.ok = before and self.top.ok
        return found

    def _sources(self) -> tuple[Source, ...]:
        return self._children("sources", "source", settings.read_source)

    def _bulkheads(self) -> tuple[Bulkhead, ...]:
        return self._children("bulkheads", "bulkhead", read_bulkhead)

    def _unit_types(self) -> tuple[UnitType, ...]:
        return self._children("unit_types", "unit type", read_unit_type)

    def _units(self, sources: tuple[Source, ...]) -> tuple[Unit, ...]:
        first = sources[0].name if sources and "sources" in self.parts.whole else None
        if first is None:
            first = min(self.parts.known.get("sources", ()), default=None)
        return self._children("units", "unit", lambda record: read_unit(record, first))

    def _functions(self) -> tuple[Function, ...]:
        return self._children("functions", "function", lambda r: settings.read_function(r, self.items))

    def _loads(self, system: settings.System) -> tuple[Load, ...]:
        raw = self.raw.tables.get("loads")
        if raw is None:
            return ()
        conditions = system.conditions
        columns = replace(LOAD_COLUMNS, levels=system.columns)
        sheet = understood(raw, columns, self.mistakes)
        missing = [name for name in system.columns if name not in sheet.found]
        if len(missing) < len(system.columns):
            for name in missing:
                sheet.fail(name, "is missing, and other conditions have a column", "Add it, or take all of them out")
        read = read_loads(sheet, system.volts, system.columns, len(conditions))
        self.items = {one.item: one.names for one in read if one.item is not None}
        self.defaults += defaults.load_defaults(raw.file, sheet.found, conditions)
        loads = self.parts.take("loads", "load", [pair for one in read for pair in one.pairs()])
        self.parts.known["items"] = frozenset(self.items)
        return loads

    def _tables(self, single: _Settings) -> _Tables:
        places = self._table("places", "place", network.PLACE_COLUMNS, network.read_place, ("place",))
        segments = self._table("segments", "to", network.SEGMENT_COLUMNS, network.read_segment, ("from", "to"))
        runs = self._table("runs", "site", network.RUN_COLUMNS, network.read_run, ("load", "site"))
        given = self._table("wires", "wire", network.GIVEN_WIRE_COLUMNS, network.read_given_wire, ("wire",))
        if single.wires is not None and single.feed_wires is not None:
            tables = (single.wires, single.feed_wires)
            given = tuple(replace(wire, size=size_in(wire.size, *tables)) for wire in given)
        ambients = {"places": [p.ambient_c for p in places], "segments": [s.ambient_c for s in segments]}
        for name, of_rows in ambients.items():
            file = self.raw.table_file(name)
            self.defaults += defaults.ambient_defaults(file, of_rows, single.system.ambient_c)
        return _Tables(places, segments, runs, given)

    def _table(
        self, name: str, column: str, columns: Columns, read: Callable[[Row], T | None], keys: tuple[str, ...]
    ) -> tuple[T, ...]:
        """Objects of a table, each under the names in its ``keys`` columns."""
        raw = self.raw.tables.get(name)
        if raw is None:
            if name not in self.raw.broken:
                self.parts.take(name, column, ())
            return ()
        found = []
        for row in understood(raw, columns, self.mistakes).rows:
            names = [name_in(row.record, key) or "" for key in keys]
            # a way between two places is the same way back
            unique = key_of_pair(*names) if name == "segments" and all(names) else None
            found.append((row.record, " - ".join(names) if all(names) else None, unique, read(row)))
        return self.parts.take(name, column, found)

    def _draft(
        self,
        single: _Settings,
        loads: tuple[Load, ...],
        tables: _Tables,
        unit_types: tuple[UnitType, ...],
        units: tuple[Unit, ...],
        sources: tuple[Source, ...],
        bulkheads: tuple[Bulkhead, ...],
        functions: tuple[Function, ...],
    ) -> Draft:
        volts = single.system.volts
        return Draft(
            known=self.parts.known,
            whole=frozenset(self.parts.whole),
            conditions=None if self.raw.settings is None else single.system.conditions,
            lowest_v=None if volts is None else volts.lowest,
            loads=loads,
            places=tables.places,
            segments=tables.segments,
            runs=tables.runs,
            given_wires=tables.given_wires,
            unit_types=unit_types,
            units=units,
            sources=sources,
            bulkheads=bulkheads,
            functions=functions,
            wires=single.wires,
            feed_wires=single.feed_wires,
            wire_rules=single.rules,
            margins=None if self.raw.settings is None else single.margins,
        )

    def _located(self, mistake: Mistake) -> Mistake:
        files = {name: self.raw.table_file(name) for name in self.raw.table_names}
        return self.parts.located(mistake, self.raw.settings_file, files)

    def _whole(self, single: _Settings, draft: Draft) -> Problem | None:
        """The problem of a draft without gaps."""
        system, volts = single.system, single.system.volts
        if volts is None or draft.wires is None or draft.feed_wires is None:
            return None
        try:
            problem = Problem(
                name=single.name,
                nominal_v=volts.nominal,
                running_v=volts.running,
                lowest_v=volts.lowest,
                loads=draft.loads,
                places=draft.places,
                unit_types=draft.unit_types,
                units=draft.units,
                sources=draft.sources,
                wires=draft.wires,
                feed_wires=draft.feed_wires,
                ambient_c=system.ambient_c,
                altitude_m=system.altitude_m,
                conditions=system.conditions,
                segments=draft.segments,
                runs=draft.runs,
                bulkheads=draft.bulkheads,
                functions=draft.functions,
                given_wires=draft.given_wires,
                margins=single.margins or Margins(),
                prices=single.prices or Prices(),
                wire_rules=single.rules or WireRules(),
                defaults=tuple(self.defaults),
                digest=self.raw.digest(),
            )
            # which of two names is meant is taken as written: a layout says so
            return replace(problem, defaults=(*problem.defaults, *look_alikes(problem)))
        except ProblemError as error:
            self.mistakes += [self._located(mistake) for mistake in error.mistakes]
            return None
