from __future__ import annotations

import pytest

from allocator.importing.figures import NotKnownError, decimal_mark, figure, number


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("5", 5, ""),
        ("5A", 5, "A"),
        ("5 amps", 5, "A"),
        ("500 mA", 500, "mA"),
        ("0.5kW", 0.5, "kW"),
        ("3,5", 3.5, ""),
        ("1.234,5 W", 1234.5, "W"),
        ("1,234.5 W", 1234.5, "W"),
        ("1 200 W", 1200, "W"),
        ("5 (A)", 5, "A"),
        ("8-12 A", 12, "A"),
        ("8 \N{EN DASH} 12", 12, ""),
        ("8 to 12A", 12, "A"),
        ("8A - 12A", 12, "A"),
        ("1.5..2.5", 2.5, ""),
        ("~5 A", 5, "A"),
        ("about 7 A", 7, "A"),
        ("max 5", 5, ""),
        ("5 A each", 5, "A"),
        ("12' 6\"", 12.5, "ft"),
        ("12 ft 6 in", 12.5, "ft"),
        ("16 ft", 16, "ft"),
        ("104 °F", 104, "degF"),
        ("16 AWG", 16, "AWG"),
    ],
)
def test_a_figure_is_read_as_people_write_it(text, value, unit):
    found = figure(text, None)
    assert (found.value, found.unit) == (value, unit)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("8-12 A", "is a range: the upper end is used"),
        ("approx. 5 A", "is taken as that"),
        ("1,250 W", "is taken as 1250"),
    ],
)
def test_what_was_settled_is_said(text, said):
    assert said in figure(text, ".").said


def test_what_was_not_read_is_said_apart():
    found = figure("approx. 5 A (taken from the old boat)", ".")
    assert (found.said, found.ignored) == (("is taken as that",), ("'(taken from the old boat)' is ignored",))


def test_a_voltage_behind_a_figure_is_kept_apart():
    found = figure("12 A @ 13.8 V", None)
    assert (found.value, found.unit, found.at_volts) == (12, "A", 13.8)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "is empty"),
        ("TBC", "says that it is not known"),
        ("t.b.d.", "says that it is not known"),
        ("n/a", "says that it is not known"),
        ("-", "says that it is not known"),
        ("see data sheet", "says that it is not known"),
        ("5?", "is marked as doubtful"),
        ("> 5 A", "gives only the least it may be"),
        ("at least 5 A", "gives only the least it may be"),
        ("2 x 5 A", "holds several figures"),
        ("55/60 W", "holds several figures"),
        ("5 + 2", "holds several figures"),
        ("12-8 A", "is not a range from less to more"),
        ("-3 A", "is negative"),
        ("0.5 hp", "has an unknown unit ('hp')"),
        ("1,250", "has a comma that may mark decimals or thousands"),
        ("1,5,2", "is not one number"),
        ("1.25,5.0", "is not one number"),
        ("2 5 A", "holds several figures"),
        ("2026-12-08T00:00:00", "is a date, and may have been a range such as 8-12 before a spreadsheet read it"),
        ("some", "is not a readable figure"),
        ("8 W - 12 A", "is not a range from less to more"),
    ],
)
def test_what_cannot_be_told_is_not_guessed(text, why):
    with pytest.raises(NotKnownError) as refusal:
        figure(text, None)
    assert str(refusal.value) == why


@pytest.mark.parametrize(
    ("texts", "mark"),
    [
        (["3,5", "12,25"], ","),
        (["3.5", "12"], "."),
        (["12", "1,250"], None),
        (["3,5", "3.5"], None),
        (["3,5", "0,125", "3.5"], ","),
        ([], None),
    ],
)
def test_the_decimal_mark_is_what_most_cells_show(texts, mark):
    assert decimal_mark(texts) == mark


@pytest.mark.parametrize(
    ("text", "mark", "value"),
    [("1,250", ",", 1.25), ("1,250", ".", 1250.0), ("1.250", None, 1.25), ("1.250", ",", 1250.0)],
)
def test_three_figures_behind_a_mark_are_read_by_what_other_cells_show(text, mark, value):
    assert number(text, mark) == value
