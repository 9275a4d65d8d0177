"""Places, segments, measured runs and given wires."""

from __future__ import annotations

from allocator.problem import GivenWire, Line, Place, Run, Segment
from allocator.problem.bounds import MOST_BUNDLE_WIRES, MOST_OF
from allocator.reading.headings import Columns, Row
from allocator.reading.quantities import COORDINATE, CURRENT, LENGTH, TEMPERATURE
from allocator.reading.record import Record

PLACE_COLUMNS = Columns(
    needed=("place",),
    most=MOST_OF["places"],
    optional=("x", "y", "z", "ambient", "wet", "stud", "units"),
    dimensions={
        "x": (COORDINATE,),
        "y": (COORDINATE,),
        "z": (COORDINATE,),
        "ambient": (TEMPERATURE,),
        "stud": (CURRENT,),
    },
)
SEGMENT_COLUMNS = Columns(
    needed=("from", "to", "length"),
    most=MOST_OF["segments"],
    optional=(
        "ambient",
        "bulkhead",
        "insulation",
        "bundle",
        "cables only",
        "wires only",
        "bundle wires",
        "bundle loading",
    ),
    dimensions={"length": (LENGTH,), "ambient": (TEMPERATURE,), "insulation": (TEMPERATURE,)},
    shares=("bundle", "bundle loading"),
)
RUN_COLUMNS = Columns(
    needed=("load", "site", "length"), optional=(), dimensions={"length": (LENGTH,)}, most=MOST_OF["runs"]
)
GIVEN_WIRE_COLUMNS = Columns(
    needed=("wire", "from", "to", "size"),
    optional=("cores", "current"),
    dimensions={"current": (CURRENT,)},
    most=MOST_OF["wires"],
)


def read_place(row: Row) -> Place | None:
    """Read a row of places."""
    record = row.record
    return record.built(
        Place,
        name=record.text("place", needed=True),
        x_m=record.quantity("x", COORDINATE),
        y_m=record.quantity("y", COORDINATE),
        z_m=record.quantity("z", COORDINATE),
        ambient_c=record.quantity("ambient", TEMPERATURE),
        wet=record.flag("wet"),
        stud_a=record.quantity("stud", CURRENT, positive=True),
        units=record.count("units"),
        extra=row.extra,
    )


def read_segment(row: Row) -> Segment | None:
    """Read a row of segments."""
    record = row.record
    return record.built(
        Segment,
        start=record.text("from", needed=True),
        end=record.text("to", needed=True),
        length_m=record.quantity("length", LENGTH, needed=True),
        ambient_c=record.quantity("ambient", TEMPERATURE),
        bulkhead=record.text("bulkhead"),
        insulation_c=record.quantity("insulation", TEMPERATURE),
        only=_only(record),
        factor=record.share("bundle", above_zero=True),
        wires=record.count("bundle wires", low=1, high=MOST_BUNDLE_WIRES),
        loading=record.share("bundle loading", above_zero=True),
        extra=row.extra,
    )


def _only(record: Record) -> Line | None:
    """What alone may pass; None: wires and cables."""
    cables, wires = record.flag("cables only"), record.flag("wires only")
    if cables and wires:
        wrong = "contradicts 'cables only': both are yes, so nothing may pass"
        record.fail("wires only", wrong, "Keep only one of the two", str(record.values["wires only"]))
    return Line.CABLE if cables else Line.WIRE if wires else None


def read_run(row: Row) -> Run | None:
    """Read a row of measured runs."""
    record = row.record
    return record.built(
        Run,
        load=record.text("load", needed=True),
        site=record.text("site", needed=True),
        length_m=record.quantity("length", LENGTH, needed=True),
    )


def read_given_wire(row: Row) -> GivenWire | None:
    """Read a row of wires that are given."""
    record = row.record
    return record.built(
        GivenWire,
        name=record.text("wire", needed=True),
        start=record.text("from", needed=True),
        end=record.text("to", needed=True),
        size=record.text("size", needed=True),
        cores=record.count("cores", low=1),
        current_a=record.quantity("current", CURRENT),
        extra=row.extra,
    )
