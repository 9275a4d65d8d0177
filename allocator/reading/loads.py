"""The load schedule: one row for each item, ``quantity`` loads of it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from allocator.problem import CHASSIS, SOURCE, Kind, Load, Supply
from allocator.problem.bounds import MOST_OF, MOST_QUANTITY
from allocator.reading.headings import Columns, Row, Sheet
from allocator.reading.quantities import CURRENT, LENGTH, POWER, TIME, VOLTAGE
from allocator.reading.record import Record

LOAD_COLUMNS = Columns(
    needed=("load", "place", "current"),
    optional=(
        "kind", "quantity", "type", "inrush", "inrush_time", "stall", "max_trip", "needs", "share", "together",
        "max_drop", "min_volts", "return", "lead", "supply", "unit", "output", "spread", "duty",
    ),
    dimensions={
        "current": (CURRENT, POWER),
        "inrush": (CURRENT,),
        "inrush_time": (TIME,),
        "stall": (CURRENT,),
        "max_trip": (CURRENT,),
        "min_volts": (VOLTAGE,),
        "lead": (LENGTH,),
    },
    shares=("max_drop", "spread", "duty"),
    most=MOST_OF["loads"],
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Volts:
    """Voltages of the system, which turn watts into amperes."""

    nominal: float
    running: float
    lowest: float

    def like(self, volts: float) -> bool:
        """Whether a stated voltage may be that of this system."""
        return 0.8 * self.lowest <= volts <= 1.2 * self.running


@dataclass(frozen=True, slots=True)
class ReadLoads:
    """Loads of one row, under every name that the row makes known."""

    record: Record
    item: str | None
    names: tuple[str, ...]
    loads: tuple[Load, ...]

    def pairs(self) -> list[tuple[Record, str | None, str | None, Load | None]]:
        """Record, name, key and load of each; of a row that has no name, and so no loads, just the record."""
        if not self.names:
            return [(self.record, None, None, None)]
        loads = self.loads or (None,) * len(self.names)
        return [(self.record, name, None, load) for name, load in zip(self.names, loads, strict=True)]


def read_loads(sheet: Sheet, volts: Volts | None, columns: tuple[str, ...], conditions: int) -> list[ReadLoads]:
    """Read every row.

    Parameters
    ----------
    sheet
        The load schedule.
    volts
        None where they cannot be read.
    columns
        Columns of the conditions, known ones of the sheet.
    conditions
        Number of conditions.
    """
    leveled = columns if sheet.found & set(columns) else ()
    read: list[ReadLoads] = []
    total = 0
    for row in sheet.rows:
        read.append(_read_row(row, volts, leveled, conditions))
        total += len(read[-1].names)
        if total > MOST_OF["loads"]:
            most = f"more than {MOST_OF['loads']:,} loads, the most that are read"
            row.record.fail("quantity", f"makes {most}", "Check the quantities")
            break
    return read


def ampere(value: float, unit: str, kind: Kind, volts: Volts) -> float:
    """Current in A of a stated current or power.

    A resistive load draws ``P / nominal * running / nominal``; a motor and a constant-power load ``P / lowest``.

    Parameters
    ----------
    value
        The figure, in A or W.
    unit
        ``A`` or ``W``.
    kind
        How the load draws its power.
    volts
        The voltages of the system.
    """
    if unit == "A":
        return value
    if kind is Kind.RESISTIVE:
        return value / volts.nominal * volts.running / volts.nominal
    return value / volts.lowest


def _read_row(row: Row, volts: Volts | None, columns: tuple[str, ...], conditions: int) -> ReadLoads:
    record = row.record
    name = record.text("load", needed=True)
    count = record.count("quantity", low=1, high=MOST_QUANTITY)
    load = record.built(Load, **_values(row, name, volts, columns, conditions))
    names = () if name is None else _names(name, count or 1)
    loads = () if load is None else tuple(replace(load, name=name) for name in names)
    return ReadLoads(record, name, names, loads)


def _names(item: str, count: int) -> tuple[str, ...]:
    return (item,) if count == 1 else tuple(f"{item} {number}" for number in range(1, count + 1))


def _values(
    row: Row, name: str | None, volts: Volts | None, columns: tuple[str, ...], conditions: int
) -> dict[str, object]:
    record = row.record
    kind = record.choice("kind", Kind)
    stated = record.current_or_power("current")
    needs = record.words("needs")
    if "bridge" in (needs or ()) and record.has("return"):
        record.fail("return", "is a return on a bridge load, which has none", "Leave it empty", record.text("return"))
    levels = tuple(record.level(condition) if record.has(condition) else 1.0 for condition in columns)
    return {
        "name": name,
        "item": name,
        "place": record.text("place", needed=True),
        "current_a": _current(stated, kind or Kind.RESISTIVE, volts),
        "kind": kind,
        "type": record.text("type"),
        "inrush_a": record.quantity("inrush", CURRENT, positive=True),
        "inrush_s": record.quantity("inrush_time", TIME, positive=True),
        "stall_a": record.quantity("stall", CURRENT, positive=True),
        "max_trip_a": record.quantity("max_trip", CURRENT, positive=True),
        "needs": needs,
        "share": record.text("share"),
        "together": record.text("together"),
        "max_drop": record.share("max_drop", above_zero=True),
        "min_volts_v": record.quantity("min_volts", VOLTAGE, positive=True),
        "return_to": _return(record.text("return")),
        "lead_m": record.quantity("lead", LENGTH),
        "supply": record.choice("supply", Supply),
        "unit": record.text("unit"),
        "output": record.text("output"),
        "spread": record.share("spread"),
        "levels": levels + (1.0,) * (conditions - len(levels)),
        "duty": record.share("duty"),
        "extra": row.extra,
    }


def _return(text: str | None) -> str:
    """Chassis, source or a place; the two words in any case."""
    if text is None:
        return CHASSIS
    return text.lower() if text.lower() in (CHASSIS, SOURCE) else text


def _current(stated: tuple[float, str] | None, kind: Kind, volts: Volts | None) -> float:
    """The current; next to nothing where it cannot be known, for a problem that is refused anyhow."""
    if stated is None or (stated[1] == "W" and volts is None):
        return 1e-9
    return stated[0] if volts is None else ampere(*stated, kind, volts)
