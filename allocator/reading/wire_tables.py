"""Wire tables: those that come with the package, and the user's own."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from allocator.problem import Mistake, ProblemError, Wire, WireTable
from allocator.problem.bounds import MOST_WIRES_OFFERED
from allocator.problem.near_misses import suggestion
from allocator.reading.headings import Columns, Row, understood
from allocator.reading.quantities import AREA, DIAMETER, MASS_PER_LENGTH, RESISTANCE_PER_LENGTH, TEMPERATURE
from allocator.reading.record import Record
from allocator.reading.tables import RawTable, csv_table

BUILTIN_FILES = {
    "metric thin-wall": "metric-thin-wall.csv",
    "metric battery cable": "metric-battery-cable.csv",
    "awg": "awg.csv",
    "awg battery cable": "awg-battery-cable.csv",
}
DEFAULT_TABLES = {"table": "metric thin-wall", "feed_table": "metric battery cable"}
WIRE_COLUMNS = Columns(
    most=MOST_WIRES_OFFERED,
    needed=("size", "area"),
    optional=("conductor", "diameter", "resistance", "mass", "lay", "insulation", "source"),
    dimensions={
        "area": (AREA,),
        "conductor": (DIAMETER,),
        "diameter": (DIAMETER,),
        "resistance": (RESISTANCE_PER_LENGTH,),
        "mass": (MASS_PER_LENGTH,),
        "insulation": (TEMPERATURE,),
    },
)


@cache
def builtin_table(name: str) -> WireTable:
    """A wire table that comes with the package.

    Parameters
    ----------
    name
        ``metric thin-wall``, ``metric battery cable``, ``awg`` or ``awg battery cable``.

    Raises
    ------
    ProblemError
        Where there is no such table.
    """
    file = BUILTIN_FILES.get(name)
    if file is None:
        listed = ", ".join(f"'{known}'" for known in BUILTIN_FILES)
        raise ProblemError(
            [
                Mistake(
                    table="wire tables",
                    value=name,
                    wrong="is not a wire table that comes with the package",
                    remedy=f"Name one of {listed}",
                )
            ]
        )
    data = files("allocator").joinpath("wiring", "data", file).read_bytes()
    mistakes: list[Mistake] = []
    table = read_wire_table(csv_table(file, data), name, None, mistakes)
    if mistakes or table is None:
        raise ProblemError(mistakes)
    return table


def read_wires(
    wire: Record,
    own: dict[str, RawTable],
    file_key: str,
    table_key: str,
    insulation_c: float,
    mistakes: list[Mistake],
) -> WireTable | None:
    """The wire table that the ``[wire]`` settings name; None where it cannot be read, which is told.

    Parameters
    ----------
    wire
        The settings.
    own
        The user's wire tables, by the file name that the settings give.
    file_key, table_key
        Keys that name a file, or a table of the package; not both.
    insulation_c
        Taken for the rows of the user's table that give none.
    """
    file, table = wire.text(file_key), wire.text(table_key)
    if file is not None and table is not None:
        wire.fail(file_key, f"is given beside {table_key}", "Give one of the two", file)
    if file is not None:
        raw = own.get(file)
        return None if raw is None else read_wire_table(raw, file, insulation_c, mistakes)
    name = (table or DEFAULT_TABLES[table_key]).lower()
    if name not in BUILTIN_FILES:
        remedy = suggestion(name, BUILTIN_FILES, "wire table")
        wire.fail(table_key, "is not a wire table that comes with the package", remedy, table)
        return None
    return builtin_table(name)


def read_wire_table(raw: RawTable, name: str, insulation_c: float | None, mistakes: list[Mistake]) -> WireTable | None:
    """Read a wire table; None where any row of it is wrong.

    Parameters
    ----------
    raw
        The table as text.
    name
        What the wire table is called.
    insulation_c
        Insulation temperature in degC where a row gives none; None: every row must give it.
    mistakes
        Where mistakes are added.
    """
    before = len(mistakes)
    sheet = understood(raw, WIRE_COLUMNS, mistakes)
    if not sheet.rows:
        sheet.fail("size", "has no row under it", "Give at least one wire")
    wires: dict[tuple[str, float], Wire] = {}
    for row in sheet.rows:
        wire = _read_wire(row, insulation_c)
        if wire is None:
            continue
        if (wire.size, wire.insulation_c) in wires:
            wrong = f"appears twice with an insulation of {wire.insulation_c:g} degC"
            row.record.fail("size", wrong, "Keep only one of the rows", wire.size)
        wires[wire.size, wire.insulation_c] = wire
    if len(mistakes) > before or len(wires) < len(sheet.rows):
        return None
    ordered = sorted(wires.values(), key=lambda wire: (wire.area_mm2, wire.insulation_c, wire.size))
    return WireTable(name=name, wires=tuple(ordered))


def size_in(text: str, *tables: WireTable) -> str:
    """The size of a table that a text means, whatever its spaces and raised figures; the text where none."""
    keys = {_size_key(wire.size): wire.size for table in tables for wire in table.wires}
    return keys.get(_size_key(text), text)


def _size_key(text: str) -> str:
    return "".join(text.casefold().replace("²", "2").replace("^", "").split())


def _read_wire(row: Row, insulation_c: float | None) -> Wire | None:
    record = row.record
    if insulation_c is None and not record.has("insulation"):
        record.fail("insulation", "is missing", "Give the highest temperature that the insulation withstands")
    return record.built(
        Wire,
        size=record.text("size", needed=True),
        area_mm2=record.quantity("area", AREA, needed=True, positive=True),
        insulation_c=record.quantity("insulation", TEMPERATURE, positive=True) or insulation_c,
        conductor_mm=record.quantity("conductor", DIAMETER, positive=True),
        diameter_mm=record.quantity("diameter", DIAMETER, positive=True),
        resistance_mohm_m=record.quantity("resistance", RESISTANCE_PER_LENGTH, positive=True),
        mass_g_m=record.quantity("mass", MASS_PER_LENGTH, positive=True),
        lay=record.number("lay", 1.0, 2.0),
        source=record.text("source"),
    )
