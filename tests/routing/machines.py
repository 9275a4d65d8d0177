"""Machines of a few places, made by hand or drawn, of which only the network matters."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from hypothesis import strategies as st

from allocator.problem import (
    Bulkhead,
    ContactSet,
    Line,
    Load,
    Margins,
    OutputClass,
    Place,
    Problem,
    Segment,
    Source,
    Unit,
    UnitType,
    Wire,
    WireTable,
)

TABLE = WireTable(name="one", wires=(Wire(size="1 mm2", area_mm2=1.0, insulation_c=150.0),))
OUTPUT = OutputClass(name="plain", pins=("1",), continuous_a=20.0, wire_mm2=(0.5, 2.5), trip_step_a=0.5)
UNIT_TYPE = UnitType(name="one-way", continuous_a=20.0, outputs=(OUTPUT,))


def machine(places: Iterable[Place], segments: Iterable[Segment] = (), *, ambient_c: float = 40.0) -> Problem:
    """Battery, unit and the only load sit at the first place: nobody asks for them here."""
    places, segments = tuple(places), tuple(segments)
    here = places[0].name
    contacts = (ContactSet(count=40, wire_mm2=(0.5, 6.0)),)
    return Problem(
        name="machine",
        nominal_v=12.0,
        running_v=13.6,
        lowest_v=11.5,
        loads=(Load(name="lamp", item="lamp", place=here, current_a=1.0),),
        places=places,
        unit_types=(UNIT_TYPE,),
        units=(Unit(name="unit", type="one-way", sites=(here,), source="battery"),),
        sources=(Source(name="battery", place=here),),
        wires=TABLE,
        feed_wires=TABLE,
        ambient_c=ambient_c,
        segments=segments,
        bulkheads=tuple(
            Bulkhead(name=name, contacts=contacts, studs=1)
            for name in sorted({segment.bulkhead for segment in segments if segment.bulkhead})
        ),
        margins=Margins(route_factor=1.2),
    )


def ladder(rungs: int) -> Problem:
    """Two ways past every rung, each through a bulkhead of its own: 2 ** rungs non-dominated routes."""
    segments = []
    for n in range(rungs):
        for side in "lr":
            segments += [
                Segment(start=f"m{n}", end=f"{side}{n}", length_m=1.0, bulkhead=f"{side}{n}"),
                Segment(start=f"{side}{n}", end=f"m{n + 1}", length_m=1.0 if side == "l" else 1.5),
            ]
    names = sorted({s.start for s in segments} | {s.end for s in segments})
    return machine([Place(name=name) for name in names], segments)


def torn(problem: Problem, *lost: int) -> Problem:
    """The machine without some of its segments, whatever a problem says of a network in pieces."""
    return _with_segments(problem, (segment for n, segment in enumerate(problem.segments) if n not in lost))


def all_open(problem: Problem, line: Line) -> Problem:
    """The machine with just the segments that a wire, or a cable, may pass, and these open to all."""
    return _with_segments(problem, (replace(s, only=None) for s in problem.segments if s.only in (None, line)))


def _with_segments(problem: Problem, segments: Iterable[Segment]) -> Problem:
    changed = object.__new__(Problem)
    vars(changed).update(vars(problem), segments=tuple(segments))
    return changed


def joined(*stretches: tuple[str, str, float], **ambients: float) -> Problem:
    """A machine of plain segments; its places are those that the segments name."""
    names = sorted({name for a, b, _ in stretches for name in (a, b)})
    return machine(
        (Place(name=name, ambient_c=ambients.get(name)) for name in names),
        (Segment(start=a, end=b, length_m=length) for a, b, length in stretches),
    )


def at(name: str, x: float, y: float, z: float = 0.0, ambient_c: float | None = None) -> Place:
    return Place(name=name, x_m=x, y_m=y, z_m=z, ambient_c=ambient_c)


@st.composite
def machines(draw: st.DrawFn, most_places: int = 7, most_segments: int = 10, *, closed: bool = False) -> Problem:
    """Machines of segments; lengths are whole decimetres, so that ties are frequent.

    ``closed``: some segments are for wires only or for cables only.
    """
    count = draw(st.integers(2, most_places))
    trunk = [(n, draw(st.integers(0, n - 1))) for n in range(1, count)]
    pairs = [(a, b) for a in range(count) for b in range(a) if (a, b) not in trunk]
    room = min(len(pairs), most_segments - len(trunk))
    more = draw(st.lists(st.sampled_from(pairs), unique=True, max_size=room)) if room > 0 else []
    segments = [
        Segment(
            start=f"p{a}",
            end=f"p{b}",
            length_m=draw(st.integers(1, 6)) / 10,
            ambient_c=draw(st.sampled_from([None, None, 60.0, 90.0])),
            bulkhead=draw(st.sampled_from([None, None, None, "front wall", "floor"])),
            insulation_c=draw(st.sampled_from([None, None, 125.0])),
            only=draw(st.sampled_from([None, None, None, *Line])) if closed else None,
        )
        for a, b in trunk + more
    ]
    places = [Place(name=f"p{n}", ambient_c=draw(st.sampled_from([None, None, 70.0]))) for n in range(count)]
    return machine(places, segments)


@st.composite
def placed_machines(draw: st.DrawFn, most_places: int = 6) -> Problem:
    """Machines with coordinates alone, on a grid of half metres, so that ties and lines are frequent."""
    step = st.integers(0, 4)
    spots = draw(st.lists(st.tuples(step, step), min_size=2, max_size=most_places, unique=True))
    return machine(at(f"p{n}", x / 2, y / 2) for n, (x, y) in enumerate(spots))
