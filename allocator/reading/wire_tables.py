"""Wire tables: those that come with the package, and the user's own."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from allocator.problem import Mistake, ProblemError, Wire, WireTable
from allocator.reading.headings import Columns, Row, understood
from allocator.reading.quantities import AREA, DIAMETER, MASS_PER_LENGTH, RESISTANCE_PER_LENGTH, TEMPERATURE
from allocator.reading.tables import RawTable, csv_table

BUILTIN_FILES = {
    "metric thin-wall": "metric-thin-wall.csv",
    "metric battery cable": "metric-battery-cable.csv",
    "awg": "awg.csv",
    "awg battery cable": "awg-battery-cable.csv",
}
WIRE_COLUMNS = Columns(
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
                    wrong="is no wire table that comes with the package",
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


def read_wire_table(
    raw: RawTable, name: str, insulation_c: float | None, mistakes: list[Mistake]
) -> WireTable | None:
    """Read a wire table; None where any row of it is wrong.

    ``insulation_c`` is taken where a row gives no insulation temperature; None: every row must give it.
    """
    sheet = understood(raw, WIRE_COLUMNS, mistakes)
    wires = [_read_wire(row, insulation_c) for row in sheet.rows]
    good = [wire for wire in wires if wire is not None]
    if len(good) < len(wires):
        return None
    good.sort(key=lambda wire: (wire.area_mm2, wire.insulation_c, wire.size))
    try:
        return WireTable(name=name, wires=tuple(good))
    except ProblemError as error:
        rows = {(w.size, w.insulation_c): row.record for w, row in zip(wires, sheet.rows, strict=True) if w}
        del rows
        mistakes.extend(error.mistakes)
        return None


def _read_wire(row: Row, insulation_c: float | None) -> Wire | None:
    record = row.record
    if insulation_c is None and not record.has("insulation"):
        record.fail("insulation", "is missing", "Give the highest temperature that the insulation bears")
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
