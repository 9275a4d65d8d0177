"""Cases of the rules on outputs, currents and trips."""

from __future__ import annotations

from typing import Any

from allocator.problem import Bank
from tests.checking.builders import REAR, Case, box, circuit, heavy, layout, light, load, places, problem, replace, unit

BRIDGE = problem(load(needs=("bridge",)))
STRONG = load(current_a=25.0)  # two heavy outputs: 2 x 0.9 x 20 x 0.8 = 28.8 A


def lamps(*currents_a: float, **changes: Any) -> tuple:
    """Lamps on light outputs, one each."""
    loads = tuple(load(f"lamp{n}", current_a=a) for n, a in enumerate(currents_a, start=1))
    circuits = tuple(circuit(f"lamp{n}", f"a{n}", "2.5 mm2") for n in range(1, len(loads) + 1))
    return problem(*loads, **changes), layout(*circuits)


def banks(left_a: float) -> tuple:
    return (Bank(name="left", continuous_a=left_a), Bank(name="right", continuous_a=40.0))


def tripped(trip_a: float, **lamp: Any) -> tuple:
    return problem(load(**lamp)), layout(circuit(trip_a=trip_a))


def stepped(step_a: float) -> tuple:
    """A light output of 5 A at its site: half of 10 A."""
    half = box(outputs=(light(trip_step_a=step_a), heavy()), hot=((20.0, 0.5), (85.0, 0.5)))
    return problem(unit_types=(half,)), layout()


def parallel(most: int) -> tuple:
    return problem(STRONG, unit_types=(box(outputs=(light(), heavy(parallel=most))),)), layout(
        circuit(pins="b1 b2", size="6 mm2")
    )


CASES = {
    "pin known": Case(
        good=(problem(), layout()),
        bad=(problem(), layout(circuit(pins="z9"))),
        object="circuit lamp",
        amount=1,
        unit="pin",
    ),
    "pin used once": Case(
        good=lamps(4.0, 4.0),
        bad=(lamps(4.0, 4.0)[0], layout(circuit("lamp1"), circuit("lamp2"))),
        object="output a1 of unit main",
        amount=1,
        unit="times",
    ),
    # one heavy and one light output do not make a pair
    "one class": Case(
        good=(BRIDGE, layout(circuit(pins="b1 b2"))),
        bad=(problem(), layout(circuit(pins="a1 b1"))),
        object="circuit lamp",
        amount=1,
        unit="classes",
    ),
    "bridge pair": Case(
        good=(BRIDGE, layout(circuit(pins="b1 b2"))),
        bad=(BRIDGE, layout(circuit(pins="b1"))),
        object="circuit lamp",
        amount=1,
        unit="outputs",
    ),
    "outputs in parallel": Case(good=parallel(2), bad=parallel(1), object="circuit lamp", amount=1, unit="outputs"),
    "least outputs": Case(
        good=(problem(STRONG), layout(circuit(pins="b1 b2", size="6 mm2"))),
        bad=(problem(load(current_a=16.0)), layout(circuit(pins="b1 b2", size="6 mm2"))),
        object="circuit lamp",
        amount=1,
        unit="outputs",
    ),
    "capability": Case(
        good=(problem(load(needs=("dim",))), layout(circuit(pins="b1"))),
        bad=(problem(load(needs=("dim",))), layout()),
        object="load lamp",
        amount=1,
        unit="capabilities",
    ),
    "output current": Case(
        good=(problem(load(current_a=8.0), margins={"trip": 1.0}), layout()),
        bad=(problem(load(current_a=9.0), margins={"trip": 1.0}), layout()),
        object="circuit lamp",
        amount=1.0,
        unit="A",
    ),
    "bank current": Case(
        good=lamps(8.0, 8.0, 8.0, 8.0, unit_types=(box(banks=banks(32.0)),)),
        bad=lamps(8.0, 8.0, 8.0, 8.0, unit_types=(box(banks=banks(30.5)),)),
        object="bank left of unit main in condition all on",
        amount=1.5,
        unit="A",
    ),
    "unit current": Case(
        good=lamps(8.0, 8.0, 8.0, unit_types=(box(continuous_a=26.0),), units=(unit(spare_current_a=2.0),)),
        bad=lamps(8.0, 8.0, 8.0, unit_types=(box(continuous_a=26.0),), units=(unit(spare_current_a=3.0),)),
        object="unit main in condition all on",
        amount=1.0,
        unit="A",
    ),
    "stud current": Case(
        good=lamps(4.0, 4.0, places=places(rear=replace(REAR, stud_a=8.0))),
        bad=lamps(4.0, 4.0, places=places(rear=replace(REAR, stud_a=5.0))),
        object="stud rear in condition all on",
        amount=3.0,
        unit="A",
        also=frozenset({"network studs"}),
    ),
    # 4.2 A asks for 5.25 A: 5.3 A is enough, but there is 5.0 A and 5.5 A
    "trip setting": Case(
        good=tripped(5.5, current_a=4.2), bad=tripped(5.3, current_a=4.2), object="circuit lamp", amount=0.2, unit="A"
    ),
    "trip margin": Case(good=tripped(5.0), bad=tripped(4.5), object="circuit lamp", amount=0.5, unit="A"),
    "least trip": Case(good=tripped(5.0), bad=tripped(6.0), object="circuit lamp", amount=1.0, unit="A"),
    "trip rating": Case(good=stepped(5.0), bad=stepped(6.0), object="circuit lamp", amount=1.0, unit="A"),
    "largest trip": Case(
        good=tripped(5.0, max_trip_a=5.0), bad=tripped(5.0, max_trip_a=4.6), object="load lamp", amount=0.4, unit="A"
    ),
    "stall": Case(
        good=tripped(5.0, stall_a=5.1), bad=tripped(5.0, stall_a=4.8), object="load lamp", amount=0.2, unit="A"
    ),
}
