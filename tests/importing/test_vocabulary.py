from __future__ import annotations

import pytest

from allocator.importing.vocabulary import understood


@pytest.mark.parametrize(
    ("heading", "role", "unit"),
    [
        ("Item", "name", ""),
        ("Description", "name", ""),
        ("Load", "name", ""),
        ("Load (A)", "current", "A"),
        ("No. off", "number", ""),
        ("How many", "number", ""),
        ("Item no.", "running number", ""),
        ("Pos.", "running number", ""),
        ("Amps", "current", "A"),
        ("A each", "current", "A"),
        ("Draw @ 13.8", "current", ""),
        ("Max amps", "highest current", "A"),
        ("W", "power", "W"),
        ("Power [kW]", "power", "kW"),
        ("Total A", "all current", "A"),
        ("Standby A", "carried along", ""),
        ("Ah/day", "energy", ""),
        ("Where fitted", "place", ""),
        ("Location", "place", ""),
        ("Located", "place", ""),
        ("Run, ft", "length", "ft"),
        ("Round trip (ft)", "length", "ft"),
        ("Ambient °F", "ambient", "degF"),
        ("Wire gauge", "wire", ""),
        ("Wire colour", "carried along", ""),
        ("Fuse", "fuse", ""),
        ("Max fuse (A)", "max_trip", "A"),
        ("Inrush [A]", "inrush", "A"),
        ("Inrush time (ms)", "inrush_time", "ms"),
        ("In hand", "in hand", ""),
        ("Got it?", "in hand", ""),
        ("Remarks", "carried along", ""),
        ("Part no.", "carried along", ""),
        ("Under way", "condition", ""),
        ("share", "share", ""),
        ("Anzahl", "number", ""),
        ("Strom (A)", "current", "A"),
        ("", "carried along", ""),
    ],
)
def test_a_heading_is_told_by_its_words_and_unit(heading, role, unit):
    found = understood(heading)
    assert (found.role, found.unit) == (role, unit)


def test_volts_in_a_heading_are_kept():
    assert understood("Draw @ 13.8").at_volts == 13.8
    assert understood("Amps at 24V").at_volts == 24.0
