"""The oracles against each other and against the formulas of the engine, where bundles count."""

from __future__ import annotations

from math import isclose

import pytest

from allocator.problem import Bundling, Cables, Problem, Wire
from allocator.wiring import BundledWire, Surroundings, bundle_heat
from allocator.wiring.bundle_heat import beside_cable_a, square_mm2
from tests.engine.agreement import Tally, compare_oracles
from tests.engine.draws import draw_tiny_bundles
from tests.oracle.bundles import Around, Lying, squares_of
from tests.oracle.drops import middle_c

QUICK = (
    4, 5, 6, 8, 9, 11, 16, 18, 20, 22, 26, 28, 31, 55, 59, 60, 78, 88, 91, 144, 163, 169, 174, 180, 199, 255, 298, 316,
)  # fmt: skip
"""Draws that can be tried in full within a second; ``python -m benchmarks.drawn 150 --first 0 --oracles`` tries all."""


def test_trying_all_and_cp_sat_find_the_same_in_bundles() -> None:
    tally = Tally()
    for seed in QUICK:
        tally.add(compare_oracles(seed))
    assert tally.faults == []
    assert tally.bundled >= 12
    kinds = {_kind(draw_tiny_bundles(seed)) for seed in QUICK}
    assert {(Bundling.HEAT, Cables.BESIDE), (Bundling.HEAT, Cables.INSIDE), (Bundling.TABLE, Cables.BESIDE)} <= kinds


def _kind(problem: Problem) -> tuple[Bundling, Cables]:
    return problem.margins.bundle, problem.margins.cables


@pytest.mark.parametrize("beside", [False, True])
@pytest.mark.parametrize("ambient_c", [35.0, 88.0])
def test_the_oracle_reckons_the_heat_of_a_bundle_as_the_engine_does(ambient_c: float, beside: bool) -> None:
    """Two programs of one rule: the engine's by its own film, the oracle's by that of the ``ht`` library."""
    wires = [_wire(area) for area in (0.5, 1.0, 2.5, 6.0)]
    currents, trips = (1.1, 0.0, 9.3, 21.7), (3.0, 7.5, 15.0, 30.0)
    place = Around(ambient_c, 105.0, 1870.0, 0.6)
    where = Surroundings(ambient_c, 105.0, 1870.0, 0.6)
    squares = sum(map(squares_of, wires))
    bundle = [BundledWire(*own) for own in zip(wires, currents, trips, strict=True)]
    found = bundle_heat(bundle, where, beside=beside)
    lines = [Lying(wire, (0,), 1, trip, (), 0.0, None) for wire, trip in zip(wires, trips, strict=True)]
    heat = sum(place.gives_w_m(wire, current) for wire, current in zip(wires, currents, strict=True))
    adds = [place.at_trip_w_m(line, current, squares) for line, current in zip(lines, currents, strict=True)]
    assert isclose(squares / 100, sum(map(square_mm2, wires)))
    assert isclose(heat, found.heat_w_m, rel_tol=1e-9)
    assert isclose(max(adds), found.worst_w_m, rel_tol=5e-6)
    assert isclose(place.allowed_w_m(squares, beside=beside), found.allowed_w_m, rel_tol=5e-6)
    assert adds.index(max(adds)) == found.hottest
    rise = middle_c(place, heat, squares, beside=beside) - ambient_c
    assert isclose(rise, where.rise_k(heat, squares / 100, beside=beside), rel_tol=5e-6)
    for wire in wires:
        assert isclose(place.beside_cable_a(wire), beside_cable_a(wire, where), rel_tol=5e-6)


def _wire(area: float) -> Wire:
    inner = 1.3 * area**0.5
    return Wire(
        size=f"{area:g} mm2",
        area_mm2=area,
        insulation_c=125.0,
        conductor_mm=inner,
        diameter_mm=inner + 0.61,
        resistance_mohm_m=18.1 / area,
    )
