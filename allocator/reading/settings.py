"""What is single in a problem: system, sources, margins, prices, wire rules; and functions."""

from __future__ import annotations

from dataclasses import dataclass

from allocator.problem import Bundling, Cables, Function, Margins, Prices, Source, WireRules
from allocator.problem.bounds import MOST_BUNDLE_WIRES
from allocator.problem.near_misses import key_of
from allocator.problem.problem import check_system
from allocator.problem.settings import BUNDLING_REMEDY
from allocator.reading.loads import LOAD_COLUMNS, Volts
from allocator.reading.plain_values import NO, YES
from allocator.reading.quantities import ALTITUDE, AREA, CAPACITY, CURRENT, LENGTH, MASS, TEMPERATURE, VOLTAGE
from allocator.reading.record import Record

ALL_ON = ("all on",)
TOP_KEYS = (
    "format", "name", "system", "sources", "margins", "objective", "wire", "unit_types", "units", "bulkheads",
    "functions",
)  # fmt: skip
SYSTEM_KEYS = ("nominal", "running", "lowest", "ambient", "altitude", "conditions")
SOURCE_KEYS = ("name", "place", "supply", "capacity")
MARGIN_KEYS = (
    "output_use", "unit_use", "trip", "fuse_use", "branch_drop", "feed_drop", "tail", "ground_lead",
    "route_factor", "robust", "bundle", "cables", "bundle_wires", "bundle_loading", "ampacity",
    "splice_wires",
)  # fmt: skip
OBJECTIVE_KEYS = ("unused_output", "used_output", "unit_mass", "splice", "move")
WIRE_KEYS = ("table", "file", "feed_table", "feed_file", "insulation", "sizes", "smallest")
FUNCTION_KEYS = ("name", "loads", "survive", "against")


@dataclass(frozen=True, slots=True)
class System:
    """The ``[system]`` table.

    ``volts`` is None where they cannot be read; ``columns`` holds the conditions that a table may have a column
    for, which are all of them unless one has a name that cannot be.
    """

    volts: Volts | None
    ambient_c: float
    altitude_m: float
    conditions: tuple[str, ...]
    columns: tuple[str, ...]


def check_format(record: Record) -> None:
    """Refuse a file of another format than 1."""
    if not record.has("format"):
        record.fail("format", "is missing", "Write format = 1 at the top")
    elif record.values["format"] != 1 or isinstance(record.values["format"], bool):
        value = str(record.values["format"])[:20]
        record.fail("format", "is an unknown format", "Write format = 1", value)


def read_system(record: Record) -> System:
    """Read voltages, ambient, altitude and conditions."""
    record.check_keys(SYSTEM_KEYS)
    nominal, running, lowest = (
        record.quantity(key, VOLTAGE, needed=True, positive=True) for key in ("nominal", "running", "lowest")
    )
    conditions = record.names("conditions")
    if conditions == ():
        record.fail("conditions", "is empty", "Name at least one, or leave it out")
    conditions = conditions or ALL_ON
    volts = None
    if nominal is not None and running is not None and lowest is not None:
        volts = Volts(nominal, running, lowest)
        for mistake in check_system(nominal, running, lowest, conditions).found:
            record.take_over(mistake)
    ambient_c = record.quantity("ambient", TEMPERATURE)
    return System(
        volts,
        45.0 if ambient_c is None else ambient_c,
        record.quantity("altitude", ALTITUDE) or 0.0,
        conditions,
        _columns(record, conditions),
    )


def _columns(record: Record, conditions: tuple[str, ...]) -> tuple[str, ...]:
    """Conditions that can head a column: not named like another column, nor like each other."""
    taken = {key_of(name): f"column '{name}' of the loads" for name in LOAD_COLUMNS.known}
    columns = []
    for condition in conditions:
        key = key_of(condition)
        if key in taken:
            record.fail("conditions", f"is named like {taken[key]}", "Choose another name", condition)
        else:
            columns.append(condition)
            taken[key] = f"condition '{condition}'"
    return tuple(columns)


def read_source(record: Record) -> Source | None:
    """Read one source."""
    record.check_keys(SOURCE_KEYS)
    supply = record.child("supply")
    amperes = [(name, supply.quantity(name, CURRENT)) for name in supply.values]
    record.ok = record.ok and supply.ok
    return record.built(
        Source,
        name=record.text("name", needed=True),
        place=record.text("place", needed=True),
        supply_a=tuple((name, value) for name, value in amperes if value is not None),
        capacity_ah=record.quantity("capacity", CAPACITY, positive=True),
    )


def read_margins(record: Record) -> Margins | None:
    """Read the margins; each has a default."""
    record.check_keys(MARGIN_KEYS)
    return record.built(
        Margins,
        output_use=record.share("output_use", above_zero=True),
        unit_use=record.share("unit_use", above_zero=True),
        trip=record.share("trip", low=1.0, high=10.0),
        fuse_use=record.share("fuse_use", above_zero=True),
        branch_drop=record.share("branch_drop", above_zero=True),
        feed_drop=record.share("feed_drop", above_zero=True),
        tail_m=record.quantity("tail", LENGTH),
        ground_lead_m=record.quantity("ground_lead", LENGTH),
        route_factor=record.number("route_factor", 1.0, 10.0),
        robust=record.count("robust"),
        bundle=_bundling(record),
        cables=record.choice("cables", Cables),
        bundle_wires=record.count("bundle_wires", low=1, high=MOST_BUNDLE_WIRES),
        bundle_loading=record.share("bundle_loading", above_zero=True),
        ampacity=record.share("ampacity", above_zero=True),
        splice_wires=record.count("splice_wires", low=3),
    )


def _bundling(record: Record) -> Bundling | None:
    """How bundles are held. Yes or no, which stood here once, says no longer how."""
    value = record.values.get("bundle")
    written = str(value).lower() if isinstance(value, bool | str) else ""
    if written in YES | NO:
        record.fail("bundle", "does not say how bundles are treated", BUNDLING_REMEDY, written)
        return None
    return record.choice("bundle", Bundling)


def read_prices(record: Record) -> Prices | None:
    """Read the prices of the objective; each has a default."""
    record.check_keys(OBJECTIVE_KEYS)
    return record.built(
        Prices,
        unused_output_g=record.quantity("unused_output", MASS),
        used_output_g=record.quantity("used_output", MASS),
        unit_mass=record.share("unit_mass", high=1000.0),
        splice_g=record.quantity("splice", MASS),
        move_g=record.quantity("move", MASS),
    )


def read_wire_rules(record: Record) -> WireRules | None:
    """Read which wire may be used; tables are read elsewhere."""
    record.check_keys(WIRE_KEYS)
    return record.built(
        WireRules,
        insulation_c=record.quantity("insulation", TEMPERATURE, positive=True),
        sizes=record.names("sizes"),
        smallest_mm2=record.quantity("smallest", AREA),
    )


def read_function(record: Record, items: dict[str, tuple[str, ...]]) -> Function | None:
    """Read one function. The name of an item stands for all its loads (``items``)."""
    record.check_keys(FUNCTION_KEYS)
    for key in ("loads", "survive", "against"):
        if not record.has(key):
            record.fail(key, "is missing", "Give it")
    loads = record.names("loads") or ()
    against = record.words("against") or ()
    return record.built(
        Function,
        name=record.text("name", needed=True),
        loads=tuple(name for load in loads for name in items.get(load, (load,))),
        survive=record.count("survive", low=1),
        against=against,
    )
