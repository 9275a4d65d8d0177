"""From a solution to a layout: names, pins, contacts and figures, by hand on small problems."""

from __future__ import annotations

from dataclasses import replace

import pytest

from allocator.layout import OPTIMAL, Layout, Splice, Totals
from allocator.problem import ContactSet, Problem
from allocator.search.solve import solve
from tests.model.cases import FITS, problem


def shared_lamps(count: int, outputs: int, *, named: str, share: str) -> Problem:
    """Lamps of 2 A that may share outputs of 8 A, three to each."""
    six = problem("enough_outputs.shared", FITS)
    kind = six.unit_types[0]
    pins = tuple(str(n) for n in range(1, outputs + 1))
    lamps = (replace(six.loads[0], name=f"{named} {n}", item=named, share=share) for n in range(1, count + 1))
    return replace(six, loads=tuple(lamps), unit_types=(replace(kind, outputs=(replace(kind.outputs[0], pins=pins),)),))


def test_the_figures_of_shared_outputs_add_up() -> None:
    layout = solve(problem("enough_outputs.shared", FITS))
    assert [circuit.name for circuit in layout.circuits] == ["lamps 1", "lamps 2"]
    assert [circuit.current_a for circuit in layout.circuits] == [6.0, 6.0]
    assert [circuit.splices for circuit in layout.circuits] == [(Splice(place="nose", count=1),)] * 2
    assert layout.totals is not None
    assert replace(layout.totals, wire_g=0.0) == Totals(
        copper_g=140.0,
        branch_copper_g=40.0,
        feed_copper_g=100.0,
        wire_g=0.0,
        length_m=5.0,
        outputs_used=2,
        outputs_spare=0,
        outputs_unused=0,
        units_fitted=1,
        splices=2,
    )
    assert layout.totals.wire_g > 140.0


def test_each_load_is_named_in_the_wires_that_carry_its_current() -> None:
    circuit = solve(problem("enough_outputs.shared", FITS)).circuits[0]
    carried = {(wire.role, wire.loads) for wire in circuit.wires}
    lamps = circuit.loads
    assert len(lamps) == 3
    assert carried == {
        ("trunk", lamps),
        *(("branch", (lamp,)) for lamp in lamps),
        *(("return", (lamp,)) for lamp in lamps),
    }


def test_parallel_outputs_get_a_wire_each_and_one_return() -> None:
    layout = solve(problem("enough_outputs.parallel", FITS))
    heater = next(circuit for circuit in layout.circuits if circuit.name == "heater")
    assert [(wire.role, wire.loads) for wire in heater.wires] == [
        ("out", ("heater",)),
        ("out", ("heater",)),
        ("return", ("heater",)),
    ]
    assert len(set(heater.pins)) == 2


@pytest.mark.parametrize(
    ("named", "share", "names"),
    [
        ("lamp", "deck", ["deck 1", "deck 2", "lamp 1"]),
        ("lamp", "lamp", ["lamp 1", "lamp circuit 1", "lamp circuit 2"]),
    ],
)
def test_no_two_circuits_have_one_name(named: str, share: str, names: list[str]) -> None:
    layout = solve(shared_lamps(7, 3, named=named, share=share))
    assert (layout.status, sorted(circuit.name for circuit in layout.circuits)) == (OPTIMAL, names)


def test_the_only_circuit_of_a_share_word_is_called_by_the_word() -> None:
    layout = solve(shared_lamps(3, 1, named="lamp", share="deck"))
    assert [circuit.name for circuit in layout.circuits] == ["deck"]


def two_classes(current_a: float) -> Layout:
    """One lamp on a unit with an output of 20 A and, listed behind it, one of 10 A."""
    simple = problem("each_load_once", FITS)
    kind = simple.unit_types[0]
    light = replace(kind.outputs[0], name="light", pins=("L",))
    heavy = replace(light, name="heavy", pins=("H",), continuous_a=20.0)
    lamp = replace(simple.loads[0], current_a=current_a)
    return solve(replace(simple, loads=(lamp,), unit_types=(replace(kind, outputs=(heavy, light)),)))


@pytest.mark.parametrize(("current_a", "pins"), [(4.0, ("L",)), (12.0, ("H",))])
def test_the_larger_output_stays_free_where_it_is_not_needed(current_a: float, pins: tuple[str, ...]) -> None:
    circuit = two_classes(current_a).circuits[0]
    assert (circuit.pins, circuit.trip_a) == (pins, 1.25 * current_a)


def test_the_larger_contacts_stay_free_where_they_are_not_needed() -> None:
    crossing = problem("enough_contacts", FITS)
    wide, narrow = ContactSet(count=2, wire_mm2=(1.0, 6.0)), ContactSet(count=1, wire_mm2=(1.0, 2.0))
    layout = solve(replace(crossing, bulkheads=(replace(crossing.bulkheads[0], contacts=(wide, narrow)),)))
    taken = sorted(contact.set for circuit in layout.circuits for wire in circuit.wires for contact in wire.contacts)
    assert taken == [0, 1]


def test_spares_and_pins_are_told_apart() -> None:
    layout = solve(problem("spare_outputs", FITS))
    ((name, bank, count),) = layout.units[0].spare
    assert (name, count) == ("plain", 1)
    assert {bank} == {"A", "B"} - {layout.circuits[0].bank}


def test_the_current_of_a_unit_holds_the_largest_spreads() -> None:
    layout = solve(problem("spread", FITS))
    assert layout.units[0].current_a == (("all on", 11.0),)


def test_the_feed_is_as_the_problem_needs_it() -> None:
    feed = solve(problem("feed_current", FITS)).units[0].feed
    assert feed is not None
    assert (feed.size, feed.length_m, feed.copper_g, feed.fuse_a) == ("10 g/m", 1.0, 10.0, 15.0)


def test_the_fuse_of_a_feed_stands_the_starts_behind_it() -> None:
    read = problem("feed_starts", FITS)
    quiet = replace(read, loads=tuple(replace(load, inrush_a=None, inrush_s=None) for load in read.loads))
    fuses = [unit.feed.fuse_a for layout in (solve(read), solve(quiet)) for unit in layout.units if unit.feed]
    assert fuses == [15.0, 10.0]


def test_alike_units_are_named_in_their_order() -> None:
    layout = solve(problem("units_of_a_kind.always", FITS))
    assert [(unit.name, unit.site) for unit in layout.units] == [("front", "shelf"), ("second", "shelf")]


def test_a_load_fused_at_the_source_has_its_own_wires() -> None:
    (fan,) = solve(problem("each_direct_load_once", FITS)).direct
    assert (fan.load, fan.source, fan.fuse_a) == ("fan", "battery", 5.0)
    assert [(wire.role, wire.length_m, wire.copper_g) for wire in fan.wires] == [
        ("out", 3.0, 30.0),
        ("return", 0.0, 0.0),
    ]
