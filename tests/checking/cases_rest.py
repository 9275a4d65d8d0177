"""Cases of the rules on feeds, spares, sharing, functions and stated figures."""

from __future__ import annotations

from typing import Any

from allocator.evaluation.complete import complete
from allocator.layout import FEASIBLE, OPTIMAL, Feed, FittedUnit, PlacedWire
from allocator.problem import Function, Run
from allocator.wiring import ampacity_a
from tests.checking.builders import (
    CABLE,
    MIDDLE,
    SHARED,
    Case,
    circuit,
    layout,
    load,
    places,
    problem,
    replace,
    shared_circuit,
    unit,
    with_circuit,
)
from tests.checking.cases_wires import lost_v

ONE = (problem(), layout())


def fed(size: str = "6 mm2", current_a: float = 4.0, **changes: Any) -> tuple:
    """The lamp, with a feed given by hand."""
    feed = Feed(size=size, **{key: value for key, value in changes.items() if key != "margins"})
    given = problem(load(current_a=current_a), margins=changes.get("margins", {}))
    return given, layout(units=(FittedUnit(name="main", site="front", feed=feed),))


def busy(size: str) -> tuple:
    """48 A on a feed of 0.8 m: a fuse of 60 A."""
    currents = {"b1": 16.0, "b2": 16.0, "a1": 8.0, "a2": 8.0}
    loads = [load(pin, "middle", current) for pin, current in currents.items()]
    circuits = [circuit(pin, pin, "6 mm2" if pin.startswith("b") else "2.5 mm2") for pin in currents]
    unit_here = FittedUnit(name="main", site="front", feed=Feed(size=size))
    return problem(*loads), layout(*circuits, units=(unit_here,))


def sharing(*loads: Any, **changes: Any) -> tuple:
    return problem(*(loads or SHARED), **changes), layout(circuit("lamp spot"))


def pieces(*changed: PlacedWire, **changes: Any) -> tuple:
    return problem(*SHARED), layout(shared_circuit(*changed, **changes))


def trunk(*loads: str) -> PlacedWire:
    return PlacedWire(role="trunk", size="1.5 mm2", start="front", end="middle", loads=loads)


def branch(size: str) -> PlacedWire:
    return PlacedWire(role="branch", size=size, start="middle", loads=("spot",))


def function(survive: int) -> tuple:
    pair = Function(name="lights", loads=("lamp", "spot"), survive=survive, against=("output",))
    given = problem(load("lamp"), load("spot", "middle"), functions=(pair,))
    return given, layout(circuit("lamp"), circuit("spot", "a2"))


CASES = {
    "feed size": Case(good=fed("6 mm2"), bad=fed("7 mm2"), object="feed of unit main", amount=1, unit="feed"),
    "feed route": Case(
        good=fed(route=("battery", "front")),
        bad=fed(route=("battery", "middle")),
        object="feed of unit main",
        amount=1,
        unit="route",
    ),
    "feed insulation": Case(
        good=fed(insulation_c=100.0), bad=fed(insulation_c=125.0), object="feed of unit main", amount=25.0, unit="K"
    ),
    "standard fuse": Case(
        good=fed(current_a=4.2, fuse_a=7.5),
        bad=fed(current_a=4.2, fuse_a=6.0),
        object="feed of unit main",
        amount=1.0,
        unit="A",
    ),
    "feed ampacity": Case(
        good=busy("10 mm2"),
        bad=busy("6 mm2"),
        object="feed of unit main",
        amount=60.0 - 0.8 * ampacity_a(CABLE.wires[0], 45.0),
        unit="A",
    ),
    "fuse use": Case(good=fed(fuse_a=5.0), bad=fed(fuse_a=3.0), object="feed of unit main", amount=1.6, unit="A"),
    "least fuse": Case(good=fed(fuse_a=5.0), bad=fed(fuse_a=7.5), object="feed of unit main", amount=2.5, unit="A"),
    "feed drop": Case(
        good=fed(margins={"feed_drop": 0.001}),
        bad=fed(margins={"feed_drop": 0.0005}),
        object="feed of unit main",
        amount=lost_v("6 mm2", 0.8, 4.0) - 0.0068,
        unit="V",
    ),
    "spare outputs": Case(
        good=(problem(units=(unit(spare=(("light", 3),)),)), layout()),
        bad=(problem(units=(unit(spare=(("light", 4),)),)), layout()),
        object="class light of unit main",
        amount=1,
        unit="outputs",
    ),
    "share word": Case(
        good=sharing(),
        bad=sharing(SHARED[0], replace(SHARED[1], share="others")),
        object="circuit lamp spot",
        amount=1,
        unit="loads",
    ),
    "share alone": Case(
        good=sharing(runs=(Run(load="spot", site="middle", length_m=0.1),)),
        bad=sharing(runs=(Run(load="spot", site="front", length_m=1.1),)),
        object="load spot",
        amount=1,
        unit="load",
    ),
    "joined": Case(
        good=pieces(trunk("spot", "lamp")),
        bad=pieces(trunk("lamp")),
        object="circuit lamp spot",
        amount=1,
        unit="faults",
    ),
    "splice count": Case(
        good=pieces(), bad=pieces(splices=()), object="circuit lamp spot at middle", amount=1, unit="splices"
    ),
    "dry splices": Case(
        good=sharing(),
        bad=sharing(places=places(middle=replace(MIDDLE, wet=True))),
        object="circuit lamp spot at middle",
        amount=1,
        unit="splices",
    ),
    "one size": Case(
        good=pieces(branch("1.5 mm2")),
        bad=pieces(branch("2.5 mm2")),
        object="circuit lamp spot",
        amount=1,
        unit="sizes",
    ),
    "function": Case(
        good=function(1),
        bad=function(2),
        object="function lights without output a1 of unit main",
        amount=1,
        unit="loads",
    ),
    "left out": Case(
        good=(problem(), replace(complete(*ONE), status=FEASIBLE)),
        bad=(problem(), with_circuit(replace(complete(*ONE), status=FEASIBLE), trip_a=None)),
        object="circuit lamp",
        amount=1,
        unit="decisions",
    ),
    "stated figures": Case(
        good=(problem(), with_circuit(layout(), current_a=4.0)),
        bad=(problem(), with_circuit(layout(), current_a=4.5)),
        object="circuit lamp",
        amount=0.5,
        unit="A",
    ),
    # copper 30.671 + 4.000 + 42.672 g, one output used at 17 g, five unused at 15 g
    "proof": Case(
        good=(problem(), replace(complete(*ONE), status=OPTIMAL, bound_g=169.343)),
        bad=(problem(), replace(complete(*ONE), status=OPTIMAL, bound_g=160.0)),
        object="layout",
        amount=9.343,
        unit="g",
    ),
}
