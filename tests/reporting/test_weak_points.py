from __future__ import annotations

import csv
from io import StringIO

from allocator.analysis.margins import LayoutMargins, Margin, margins
from allocator.evaluation.network_volts import NetworkVolts, volts
from allocator.evaluation.prepare import prepare
from allocator.reporting.files import contents
from allocator.reporting.text import plain
from allocator.reporting.weak_points import margins_listed, volts_table, weak_points
from tests.checking.builders import circuit, layout, load, problem
from tests.checking.rich import rich_complete, rich_problem
from tests.reporting.samples import LAYOUT, PROBLEM


def test_the_loads_with_the_lowest_volts_are_shown_and_the_others_counted():
    loads = [load(f"lamp{n}", current_a=n / 2) for n in range(1, 5)]
    loads += [load("fan", "front", 1.0), load("horn", "middle", 1.0)]
    pins = ("a1", "a2", "a3", "a4", "b1", "b2")
    decisions = layout(*(circuit(one.name, pin) for one, pin in zip(loads, pins, strict=True)))
    text = plain(volts_table(volts(problem(*loads), decisions)))
    assert text.startswith("Volts at the load\n")
    assert [line.split()[0] for line in text.splitlines() if "all on" in line] == [
        "lamp4", "lamp3", "horn", "lamp2", "lamp1",
    ]  # fmt: skip
    assert "The other 1 load has no less.\n" in text


def test_loads_that_cannot_be_told_are_named():
    text = " ".join(plain(volts_table(volts(PROBLEM, LAYOUT))).split())
    told = "Not shown, because some of their wires are not known: pump [x], heater, window, lamp 1, lamp 2 and 2 more."
    assert text == f"Volts at the load {told}"


def test_weak_points_take_no_more_than_two_dozen_lines():
    text = plain(weak_points(prepare(rich_problem(), rich_complete())))
    assert len(text.splitlines()) <= 24


def test_a_margin_is_told_with_value_limit_share_and_relief():
    one = Margin(
        kind="ampacity", object="feed of unit main", value=70.0, limit=70.2088, unit="A",
        relief="16 mm2 would carry 94.9 A", alike=2,
    )  # fmt: skip
    text = plain(margins_listed(LayoutMargins(wires=(), margins=(one,))))
    assert " ".join(text.split()) == (
        "Weakest margins * ampacity, feed of unit main and 2 others: 70 of 70.21 A, 99.7 % used. "
        "Relief: 16 mm2 would carry 94.9 A."
    )


def test_alike_margins_are_counted():
    given = problem(load("lamp1"), load("lamp2"))
    text = plain(margins_listed(margins(given, layout(circuit("lamp1", "a1"), circuit("lamp2", "a2")))))
    assert "* trip over load, circuit lamp1 and 1 other: trip 5 A, 5 A needed." in text


def test_a_limit_of_nothing_is_told_as_such():
    one = Margin(kind="unit", object="unit main", value=4.0, limit=0.0, unit="A", relief="a cooler site")
    assert "4 of 0 A, none left." in plain(margins_listed(LayoutMargins(wires=(), margins=(one,))))


def test_nothing_is_shown_of_nothing():
    assert volts_table(NetworkVolts(loads=(), nodes=(), grounds=())) == ()
    assert margins_listed(LayoutMargins(wires=(), margins=())) == ()


def test_lists_hold_every_load_in_every_condition_and_every_wire():
    given, decisions = rich_problem(), rich_complete()
    files = contents(given, decisions)
    rows = list(csv.DictReader(StringIO(files["volts.csv"])))
    assert [(row["load"], row["condition"]) for row in rows] == [
        (one.load, one.condition) for one in volts(given, decisions).loads
    ]
    wires = list(csv.DictReader(StringIO(files["margins.csv"])))
    assert [row["wire"] for row in wires] == [one.wire for one in margins(given, decisions).wires]
