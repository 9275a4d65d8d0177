"""Cases of the rules on volts: what breaks one of them at nominal current breaks its like at full current too."""

from __future__ import annotations

from tests.checking.builders import REAR, Case, circuit, layout, load, places, problem, replace
from tests.checking.cases_wires import LAMP_V, lost_v

FEED_V = lost_v("6 mm2", 0.8, 4.0)


def to_the_rear(stud_a: float) -> tuple:
    given = problem(load("lamp"), load("fan"), places=places(rear=replace(REAR, stud_a=stud_a)))
    return given, layout(circuit("lamp"), circuit("fan", "a2"))


CASES = {
    "network drop": Case(
        good=(problem(load(max_drop=0.013)), layout()),
        bad=(problem(load(max_drop=0.01)), layout()),
        object="load lamp in condition all on",
        amount=LAMP_V - 0.136,
        unit="V",
        also=frozenset({"branch drop"}),
    ),
    "network volts": Case(
        good=(problem(load(min_volts_v=11.0)), layout()),
        bad=(problem(load(min_volts_v=11.4)), layout()),
        object="load lamp in condition all on",
        amount=11.4 - (11.5 - FEED_V - LAMP_V),
        unit="V",
        also=frozenset({"least volts"}),
    ),
    "network studs": Case(
        good=to_the_rear(8.0),
        bad=to_the_rear(5.0),
        object="stud rear in condition all on",
        amount=3.0,
        unit="A",
        also=frozenset({"stud current"}),
    ),
}
