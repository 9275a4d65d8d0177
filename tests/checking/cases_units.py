"""Cases of the rules on loads, units and sites."""

from __future__ import annotations

from dataclasses import replace

from allocator.layout import DirectCircuit, FittedUnit
from allocator.problem import Fit
from tests.checking.builders import FRONT, Case, box, circuit, layout, load, places, problem, unit

ONE = (problem(), layout())
TWO_LOADS = (load("lamp"), load("fan"))
TWO_UNITS = (unit(), unit("aux", sites=("middle", "front"), fit=Fit.IF_NEEDED))


def fitted(*names_and_sites: str):
    """Units at their sites, written ``name@site``."""
    pairs = (text.split("@") for text in names_and_sites)
    return tuple(FittedUnit(name=name, site=site) for name, site in pairs)


def on_two_units(**lamp) -> tuple:
    """The lamp on the main unit, the fan on the other."""
    given = problem(load("lamp", **lamp), load("fan", **lamp), units=TWO_UNITS)
    circuits = (circuit("lamp"), circuit("fan", unit="aux"))
    return given, layout(*circuits, units=fitted("main@front", "aux@middle"))


HOT = box(name="hot box", hot=((60.0, 1.0), (85.0, 0.5)))
HOT_UNIT = unit("aux", type="hot box", sites=("middle",))


def at_middle(ambient_c: float) -> tuple:
    """A unit without loads at the middle, at this ambient."""
    middle = replace(places()[2], ambient_c=ambient_c)
    given = problem(
        load(place="front"), places=places(middle=middle), unit_types=(box(), HOT), units=(unit(), HOT_UNIT)
    )
    return given, layout(units=fitted("main@front", "aux@middle"))


def wet_front(sealed: bool) -> tuple:
    given = problem(places=places(front=replace(FRONT, wet=True)), unit_types=(box(sealed=sealed),))
    return given, layout()


CASES = {
    "load known": Case(
        good=ONE,
        bad=(problem(), layout(circuit(), circuit("ghost", "a2"))),
        object="circuit ghost",
        amount=1,
        unit="load",
    ),
    "load fed once": Case(
        good=(problem(*TWO_LOADS), layout(circuit("lamp"), circuit("fan", "a2"))),
        bad=(problem(*TWO_LOADS), layout()),
        object="load fan",
        amount=1,
        unit="times",
    ),
    "direct load": Case(
        good=ONE,
        bad=(problem(), layout(direct=(DirectCircuit(load="lamp", source="battery"),))),
        object="load lamp",
        amount=1,
        unit="times",
    ),
    "together": Case(
        good=on_two_units(), bad=on_two_units(together="pair"), object="together pair", amount=1, unit="units"
    ),
    "pinned unit": Case(
        good=(problem(load(unit="main"), units=TWO_UNITS), layout()),
        bad=(problem(load(unit="aux"), units=TWO_UNITS), layout()),
        object="load lamp",
        amount=1,
        unit="unit",
    ),
    "pinned output": Case(
        good=(problem(load(unit="main", output="a1")), layout()),
        bad=(problem(load(unit="main", output="a2")), layout()),
        object="load lamp",
        amount=1,
        unit="output",
    ),
    "unit known": Case(
        good=ONE,
        bad=(problem(), layout(units=fitted("main@front", "ghost@middle"))),
        object="unit ghost",
        amount=1,
        unit="units",
    ),
    "unit fitted": Case(
        good=(problem(units=TWO_UNITS), layout()),
        bad=(problem(units=(unit(), unit("aux"))), layout()),
        object="unit aux",
        amount=1,
        unit="unit",
    ),
    "unit site": Case(good=ONE, bad=(problem(), layout(site="rear")), object="unit main", amount=1, unit="site"),
    "site count": Case(
        good=(problem(units=TWO_UNITS), layout(units=fitted("main@front", "aux@middle"))),
        bad=(problem(units=TWO_UNITS), layout(units=fitted("main@front", "aux@front"))),
        object="place front",
        amount=1,
        unit="units",
    ),
    "wet site": Case(good=wet_front(True), bad=wet_front(False), object="unit main", amount=1, unit="unit"),
    "hot site": Case(good=at_middle(85.0), bad=at_middle(87.5), object="unit aux", amount=2.5, unit="K"),
}
