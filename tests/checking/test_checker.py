from __future__ import annotations

from dataclasses import FrozenInstanceError

import pytest

from allocator.checking import Violation, check
from allocator.evaluation.complete import complete
from allocator.layout import Layout
from tests.checking.builders import box, circuit, heavy, layout, light, load, problem
from tests.checking.rich import rich_complete, rich_layout, rich_problem


def test_a_layout_of_decisions_alone_is_clean():
    report = check(rich_problem(), rich_layout())
    assert report.violations == ()
    assert report.clean


def test_a_completed_layout_keeps_every_rule_and_is_complete():
    report = check(rich_problem(), rich_complete())
    assert report.violations == ()
    assert report.layout == rich_complete()


def test_a_completed_layout_passes_through_its_file():
    assert complete(rich_problem(), Layout.from_json(rich_complete().to_json())) == rich_complete()


def test_a_violation_says_what_by_how_much_and_over_what():
    conditions = ("parked", "surgery")
    loads = [load(f"lamp{n}", "front", 7.7, levels=(0.5, 1.0)) for n in range(1, 9)]
    pins = ("a1", "a2", "a3", "a4", "b1", "b2", "b3", "b4")
    front = box(continuous_a=58.0, outputs=(light(), heavy(pins=("b1", "b2", "b3", "b4"))))
    given = problem(*loads, conditions=conditions, unit_types=(front,))
    circuits = [circuit(one.name, pin, "2.5 mm2") for one, pin in zip(loads, pins, strict=True)]
    assert check(given, layout(*circuits)).violations == (
        Violation(
            rule="unit current",
            object="unit main in condition surgery",
            amount=pytest.approx(3.6),
            unit="A",
            text="unit main in surgery carries 61.6 A, 3.6 A over its 58 A",
        ),
    )


def test_a_report_is_frozen():
    report = check(problem(), layout())
    with pytest.raises(FrozenInstanceError):
        report.violations = ()
