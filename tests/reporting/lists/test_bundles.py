"""Every figure of the lists on bundles, for one small layout, by the formulas of the rule written out here."""

from __future__ import annotations

from dataclasses import replace
from math import ceil, log, pi, sqrt

import pandas as pd
import pytest
from scipy.optimize import brentq

import allocator
from allocator.checking import check
from allocator.problem import Bundling, Cables, GivenWire
from allocator.wiring import ampacity_a, resistance_ohm_m
from allocator.wiring.air import pressure_pa
from allocator.wiring.ampacity import leaving_w_m
from allocator.wiring.conductors import conductor_mm, diameter_mm
from tests.checking.builders import BRANCH
from tests.reporting.warm import AMBIENT_C, CART, LAYOUT

CLASS_C = 100.0
ALLOWANCE, BESIDE = 0.80, 0.825
ACROSS = 4.0 * pi * 0.08

# size, trip and current by condition of the wires out; the feed of aux lies beside them as far as the middle
LAMP, FAN, PUMP = ("1 mm2", 5.0, (4.0, 2.0)), ("1.5 mm2", 9.0, (1.75, 7.0)), ("1.5 mm2", 17.5, (0.0, 14.0))
MIDDLE = {"main a1": LAMP, "main a2": FAN}
REAR = {**MIDDLE, "aux b1": PUMP}


def row_of(size):
    return next(wire for wire in BRANCH.wires if wire.size == size and wire.insulation_c == CLASS_C)


def squares_mm2(sizes):
    """Squared diameters count in whole hundredths of a mm2."""
    return sum(round(diameter_mm(row_of(size)) ** 2, 2) for size in sizes)


def temperature_c(heat_w_m, across_mm):
    """Middle of a round body that gives a heat: its surface in still air, and what lies between."""
    pressure = pressure_pa(0.0)
    surface = brentq(lambda t: leaving_w_m(across_mm * 1e-3, t, AMBIENT_C, pressure) - heat_w_m, AMBIENT_C, 900.0)
    return surface + heat_w_m / ACROSS


def by_hand(laid, condition, beside):
    """Heat, what the hottest adds and its name, what is allowed, rise in K: the rule in its own words."""
    across = sqrt(2.0 * squares_mm2(size for size, _, _ in laid.values()))
    free = brentq(lambda q: temperature_c(q, across) - CLASS_C, 0.01, 500.0)
    heat, adds = 0.0, {}
    for name, (size, trip, currents) in laid.items():
        wire, current = row_of(size), currents[condition]
        ohm, outer = resistance_ohm_m(wire, CLASS_C), diameter_mm(wire)
        own = log(outer / conductor_mm(wire)) / (2 * pi * 0.2) + log(across / outer) / (2 * pi * 0.08) - 1 / ACROSS
        heat += ohm * current**2
        spread = max(own, 0.0) * ohm * trip**2 * free / (CLASS_C - AMBIENT_C)
        adds[name] = ohm * (trip**2 - current**2) + spread
    hottest = max(adds, key=adds.get)
    share = (ALLOWANCE * (BESIDE if beside else 1.0)) ** 2
    rise = temperature_c((heat + adds[hottest]) / share, across) - AMBIENT_C
    return heat, adds[hottest], hottest, share * free, rise


def rows(name, cart=CART, made=LAYOUT):
    return allocator.lists(cart, made)[name].to_dict("records")


def segment(start, end, cart=CART, made=LAYOUT):
    (found,) = [row for row in rows("bundles", cart, made) if (row["from"], row["to"]) == (start, end)]
    return found


SEGMENTS = pytest.mark.parametrize(
    ("start", "end", "laid", "beside"), [("front", "middle", MIDDLE, True), ("middle", "rear", REAR, False)]
)


def test_the_layout_breaks_no_rule():
    assert check(CART, LAYOUT).clean


@SEGMENTS
@pytest.mark.parametrize(("condition", "name"), [(0, "day"), (1, "night")])
def test_heat_by_condition_is_that_of_the_rule(start, end, laid, beside, condition, name):
    where = (f"{start} - {end}", name)
    (found,) = [row for row in rows("bundle-heat") if (row["segment"], row["condition"]) == where]
    heat, adds, hottest, allowed, rise = by_hand(laid, condition, beside)
    assert found["wires"] == len(laid)
    assert found["heat [W/m]"] == pytest.approx(heat, rel=1e-5)
    assert found["hottest at its trip adds [W/m]"] == pytest.approx(adds, rel=1e-5)
    assert found["heat allowed [W/m]"] == pytest.approx(allowed, rel=1e-5)
    assert found["share of allowed [%]"] == pytest.approx(100.0 * (heat + adds) / allowed, rel=1e-5)
    assert found["rise [K]"] == pytest.approx(rise, rel=1e-5)
    assert found["rise allowed [K]"] == CLASS_C - AMBIENT_C
    assert found["hottest wire"] == hottest


@SEGMENTS
def test_a_bundle_has_the_figures_of_its_warmest_condition(start, end, laid, beside):
    found = segment(start, end)
    both = {name: by_hand(laid, m, beside) for m, name in enumerate(CART.conditions)}
    warmest = max(both, key=lambda name: sum(both[name][:2]))
    heat, adds, hottest, allowed, _ = both[warmest]
    assert found["heat [W/m]"] == pytest.approx(heat + adds, rel=1e-5)
    assert found["heat allowed [W/m]"] == pytest.approx(allowed, rel=1e-5)
    assert found["share of allowed [%]"] == pytest.approx(100.0 * (heat + adds) / allowed, rel=1e-5)
    assert (found["warmest in"], found["hottest wire"]) == (warmest, hottest)


@SEGMENTS
def test_a_bundle_is_as_thick_as_its_wires_without_the_cable_beside_it(start, end, laid, beside):
    found = segment(start, end)
    squares = squares_mm2(size for size, _, _ in laid.values())
    sleeve = ceil(sqrt(2.0 * squares))
    assert (found["wires"], found["cables beside"]) == (len(laid), int(beside))
    assert found["area of wires [mm2]"] == pytest.approx(pi / 4.0 * squares, rel=1e-5)
    assert found["diameter [mm]"] == pytest.approx(sqrt(2.0 * squares), rel=1e-5)
    assert found["sleeve [mm]"] == sleeve
    assert found["sleeve filled [%]"] == pytest.approx(100.0 * squares / sleeve**2, rel=1e-5)


@pytest.mark.parametrize(
    ("start", "end", "laid", "factor"), [("front", "middle", MIDDLE, 0.92), ("middle", "rear", REAR, 0.815)]
)
def test_the_published_factor_is_told_for_comparison(start, end, laid, factor):
    """MIL-W-5088L, figure 4: 0.92 for two wires loaded up to 40 %, 0.815 for three loaded up to 60 %."""
    found = segment(start, end)
    bears = {name: ALLOWANCE * ampacity_a(row_of(size), AMBIENT_C, 0.0) for name, (size, _, _) in laid.items()}
    shares = [sum(currents[m] for _, _, currents in laid.values()) / sum(bears.values()) for m in (0, 1)]
    assert found["loading [%]"] == pytest.approx(100.0 * max(shares), rel=1e-5)
    assert (found["loaded in"], found["published factor"]) == ("night", factor)
    below = [name for name, (_, trip, _) in laid.items() if trip > factor * bears[name]]
    assert (found["wires below it"], found["which"]) == (len(below), "; ".join(below))
    assert below == (["aux b1"] if laid is REAR else [])


def test_a_segment_with_cables_alone_has_no_figures_of_a_bundle():
    found = segment("battery", "front")
    assert (found["wires"], found["cables beside"]) == (0, 2)
    assert all(pd.isna(found[key]) for key in ("diameter [mm]", "heat [W/m]", "loading [%]", "published factor"))


def test_cables_inside_count_as_wires_of_the_bundle():
    inside = replace(CART, margins=replace(CART.margins, cables=Cables.INSIDE))
    found = segment("front", "middle", inside)
    assert (found["wires"], found["cables beside"]) == (3, 0)


def test_a_cable_that_lies_beside_a_bundle_says_so_in_the_lists():
    for name in ("cut-list", "feeds-and-fuses"):
        lies = {row["label"]: row["lies"] for row in rows(name)}
        assert (lies["feed aux"], lies["feed main"]) == ("beside the bundle", "")
    assert {row["lies"] for row in rows("cut-list") if row["label"] in ("main a1", "main a2", "aux b1")} == {""}


def test_cables_inside_are_not_said_to_lie_beside():
    inside = replace(CART, margins=replace(CART.margins, cables=Cables.INSIDE))
    assert {row["lies"] for row in rows("cut-list", inside)} == {""}


@pytest.mark.parametrize(
    "margins", [{"bundle": Bundling.NONE}, {"bundle": Bundling.TABLE, "bundle_wires": 3, "bundle_loading": 0.6}]
)
def test_without_the_rule_on_heat_there_is_none_and_the_published_factor_stays(margins):
    other = replace(CART, margins=replace(CART.margins, **margins))
    assert rows("bundle-heat", other) == []
    found = segment("front", "middle", other)
    assert pd.isna(found["heat [W/m]"]) and found["warmest in"] == ""
    assert found["published factor"] == 0.92


def test_every_core_of_a_given_wire_counts():
    pair = GivenWire(name="pair", start="front", end="middle", size="0.35 mm2", cores=2)
    assert segment("front", "middle", replace(CART, given_wires=(pair,)))["wires"] == 4
