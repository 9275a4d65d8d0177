"""Cases of the rules on wires, routes, drops and bulkheads."""

from __future__ import annotations

from typing import Any

from allocator.layout import Contact
from allocator.problem import Bulkhead, ContactSet, Place, Run, Segment, WireRules
from allocator.wiring import ampacity_a, resistance_ohm_m, running_temperature_c
from tests.checking.builders import BRANCH, SEGMENTS, Case, back, circuit, layout, load, out, places, problem, replace

ONE = (problem(), layout())


def wired(*wires: Any) -> tuple:
    return problem(), layout(circuit(wires=wires))


def rules(**changes: Any) -> tuple:
    return problem(wire_rules=WireRules(**changes)), layout()


def lost_v(size: str, length_m: float, current_a: float) -> float:
    """Drop along a wire at 45 degC, from the formulas."""
    row = next(row for row in BRANCH.wires if (row.size, row.insulation_c) == (size, 100.0))
    hot = running_temperature_c(current_a, 0.8 * ampacity_a(row, 45.0), 45.0, 100.0)
    return resistance_ohm_m(row, hot) * length_m * current_a


LAMP_V = lost_v("1.5 mm2", 2.3, 4.0) + lost_v("1.5 mm2", 0.3, 4.0)
LONG = problem(load(current_a=8.0), margins={"branch_drop": 0.2})
HALF_MM2 = next(row for row in BRANCH.wires if row.size == "0.5 mm2")

DETOUR = (*SEGMENTS, Segment(start="front", end="side", length_m=1.5), Segment(start="side", end="rear", length_m=1.5))


def measured(*route: str) -> tuple:
    given = problem(
        segments=DETOUR, places=(*places(), Place(name="side")), runs=(Run(load="lamp", site="front", length_m=2.2),)
    )
    return given, layout(circuit(wires=(out(route=route),)))


LOW, HIGH = ContactSet(count=1, wire_mm2=(0.5, 1.5), continuous_a=5.0), ContactSet(count=1, wire_mm2=(2.5, 6.0))


def through_wall(*contacts: int, low: ContactSet = LOW, lamps: int = 1, studs: int = 1, wall: int = 2) -> tuple:
    """Lamps behind a wall in one of the segments; the first takes these contacts, the others the first set."""
    segments = tuple(replace(one, bulkhead="wall" if n == wall else None) for n, one in enumerate(SEGMENTS))
    bulkhead = Bulkhead(name="wall", contacts=(low, HIGH), studs=studs)
    loads = [load(f"lamp{n}") for n in range(1, lamps + 1)]
    circuits = []
    for n, one in enumerate(loads, start=1):
        taken = contacts if n == 1 else (0,)
        wire = out(contacts=tuple(Contact(bulkhead="wall", set=s) for s in taken))
        circuits.append(circuit(one.name, f"a{n}", wires=(wire,)))
    return problem(*loads, segments=segments, bulkheads=(bulkhead,)), layout(*circuits)


def numbers_through_wall(*numbers: int) -> tuple:
    """Two lamps behind a wall that take these of its two small contacts."""
    there, made = through_wall(0, lamps=2, low=replace(LOW, count=2))
    circuits = (
        replace(one, wires=(out(contacts=(Contact(bulkhead="wall", set=0, number=number),)),))
        for one, number in zip(made.circuits, numbers, strict=True)
    )
    return there, replace(made, circuits=tuple(circuits))


def side_by_side(*contacts: int) -> tuple:
    """A lamp on two outputs in parallel, whose wires take these contacts of a wall."""
    sets = tuple(ContactSet(count=2, wire_mm2=(2.5, 6.0), resistance_ohm=ohm) for ohm in (0.0, 0.005))
    segments = (SEGMENTS[0], SEGMENTS[1], replace(SEGMENTS[2], bulkhead="wall"))
    there = problem(load(current_a=25.0), segments=segments, bulkheads=(Bulkhead(name="wall", contacts=sets),))
    wires = [out(size="6 mm2", contacts=(Contact(bulkhead="wall", set=s),)) for s in contacts]
    return there, layout(circuit(pins="b1 b2", wires=(*wires, back(size="6 mm2"))))


CASES = {
    "wire size": Case(
        good=wired(out()), bad=wired(out(size="3 mm2"), back()), object="circuit lamp, out wire", amount=1, unit="wire"
    ),
    "wire shelf": Case(
        good=rules(sizes=("1.5 mm2",)),
        bad=rules(sizes=("1 mm2",)),
        object="circuit lamp, out wire",
        amount=1,
        unit="wire",
    ),
    "smallest wire": Case(
        good=rules(smallest_mm2=1.5),
        bad=rules(smallest_mm2=2.5),
        object="circuit lamp, return wire",
        amount=1.0,
        unit="mm2",
    ),
    "terminal range": Case(
        good=wired(out(size="2.5 mm2")),
        bad=wired(out(size="4 mm2")),
        object="circuit lamp, out wire",
        amount=1.5,
        unit="mm2",
    ),
    "wire insulation": Case(
        good=wired(out(insulation_c=100.0)),
        bad=wired(out(insulation_c=125.0)),
        object="circuit lamp, out wire",
        amount=25.0,
        unit="K",
    ),
    "wire ampacity": Case(
        good=(LONG, layout(circuit(size="1 mm2"))),
        bad=(LONG, layout(circuit(size="0.5 mm2"))),
        object="circuit lamp, out wire",
        amount=10.0 - 0.8 * ampacity_a(HALF_MM2, 45.0),
        unit="A",
    ),
    "wire route": Case(
        good=wired(out(route=("front", "middle", "rear"))),
        bad=wired(out(route=("front", "rear"))),
        object="circuit lamp, out wire",
        amount=1,
        unit="route",
    ),
    "wire ends": Case(
        good=wired(out(end="rear")),
        bad=wired(out(end="middle")),
        object="circuit lamp, out wire",
        amount=1,
        unit="ends",
    ),
    "wires complete": Case(
        good=wired(out(), back()), bad=wired(out(), back(), back()), object="circuit lamp", amount=1, unit="wires"
    ),
    "measured run": Case(
        good=measured("front", "middle", "rear"),
        bad=measured("front", "side", "rear"),
        object="circuit lamp, out wire",
        amount=1.0,
        unit="m",
    ),
    "branch drop": Case(
        good=(problem(load(max_drop=0.013)), layout()),
        # at half its level the lamp never loses that much: wires are sized for the full current all the same
        bad=(problem(load(max_drop=0.01, levels=(0.5,))), layout()),
        object="load lamp",
        amount=LAMP_V - 0.136,
        unit="V",
    ),
    "least volts": Case(
        good=(problem(load(min_volts_v=11.0)), layout()),
        bad=(problem(load(min_volts_v=11.2)), layout()),
        object="load lamp",
        amount=11.2 - (11.5 - 0.02 * 13.6 - LAMP_V),
        unit="V",
    ),
    "contact named": Case(
        good=through_wall(0),
        bad=through_wall(0, 0, low=replace(LOW, count=2)),
        object="circuit lamp1, out wire",
        amount=1,
        unit="contacts",
    ),
    "contact size": Case(
        good=through_wall(0), bad=through_wall(1), object="circuit lamp1, out wire", amount=1.0, unit="mm2"
    ),
    "contact current": Case(
        good=through_wall(0, low=replace(LOW, continuous_a=4.0)),
        bad=through_wall(0, low=replace(LOW, continuous_a=3.5)),
        object="circuit lamp1, out wire",
        amount=0.5,
        unit="A",
    ),
    "even contacts": Case(
        good=side_by_side(0, 0), bad=side_by_side(0, 1), object="circuit lamp", amount=5.0, unit="mohm"
    ),
    "contact count": Case(
        good=through_wall(0, lamps=3, low=replace(LOW, count=3)),
        bad=through_wall(0, lamps=3),
        object="contact set 0 of bulkhead wall",
        amount=2,
        unit="contacts",
    ),
    "contact number": Case(
        good=numbers_through_wall(1, 2),
        bad=numbers_through_wall(2, 2),
        object="contact 2 of bulkhead wall",
        amount=1,
        unit="wires",
    ),
    "bulkhead studs": Case(
        good=through_wall(wall=0), bad=through_wall(wall=0, studs=0), object="bulkhead wall", amount=1, unit="studs"
    ),
}
