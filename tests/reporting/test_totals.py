from __future__ import annotations

from dataclasses import replace

from allocator.reporting.text import plain
from allocator.reporting.totals import currents, defaults, energy, totals
from tests.reporting import read
from tests.reporting.samples import LAYOUT, PROBLEM


def rows(blocks):
    return [row for table in read.tables(blocks) for row in read.rows(table)]


def test_currents_of_units_and_banks_stand_against_their_limits():
    assert rows(currents(PROBLEM, LAYOUT)) == [
        ("front", "27.00", "12.00", "43.00", "63 %"),
        ("  left", "20.00", "10.00", "30.00", "67 %"),
        ("  right", "7.00", "2.00", "22.50", "31 %"),
    ]


def test_the_reserve_is_said_to_be_off_the_limit():
    assert "already taken off the limit: front 2.00 A." in plain(currents(PROBLEM, LAYOUT))


def test_many_conditions_are_shown_a_few_abreast():
    names = tuple(f"condition {number}" for number in range(7))
    loads = tuple(replace(load, levels=(1.0,) * 7) for load in PROBLEM.loads)
    sources = (replace(PROBLEM.sources[0], supply_a=()),)
    many = replace(PROBLEM, conditions=names, loads=loads, sources=sources)
    text = plain(currents(many, LAYOUT))
    assert text.count("limit  worst") == 2
    assert max(map(len, text.splitlines())) <= 80


def test_energy_shows_draw_charge_surplus_and_hours():
    assert rows(energy(PROBLEM, LAYOUT)) == [
        ("main", "day", "27.5", "30.0", "2.5", "3.3"),
        ("main", "night", "15.0", "0.0", "-15.0", "6.0"),
    ]


def test_totals_are_told_and_wire_is_summed_by_size():
    text = plain(totals(LAYOUT))
    assert "copper 1,234.5 g: branches 234.5 g, feeds 1,000.0 g" in text
    assert "outputs: 7 used, 1 spare, 1 unused; 1 unit fitted, 1 splice" in text
    assert rows(totals(LAYOUT)) == [
        ("1 mm2", "105 degC", "16", "20.80", "184.9"),
        ("16 mm2 (feed)", "105 degC", "1", "2.30", "327.2"),
        ("0.35 mm2 (given)", "105 degC", "2", "4.60", "14.4"),
    ]


def test_a_layout_without_totals_shows_none():
    assert totals(replace(LAYOUT, totals=None)) == ()


def test_the_first_defaults_are_shown_and_the_rest_counted():
    many = replace(LAYOUT, defaults=tuple(f"default {number}" for number in range(20)))
    text = plain(defaults(many))
    assert "* default 7\n* and 12 more, all in the layout file\n" in text
    assert "default 19" in plain(defaults(many, None))


def test_no_defaults_no_heading():
    assert defaults(replace(LAYOUT, defaults=())) == ()
