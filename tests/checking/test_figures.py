"""Every stated figure that differs from the recomputed one is named, with the difference."""

from __future__ import annotations

import json

import pytest

from allocator.checking import check
from allocator.checking.figures import FIGURES
from allocator.evaluation.complete import complete
from allocator.evaluation.recompute import gap
from allocator.layout import FEASIBLE, INFEASIBLE, OPTIMAL, Feed, Layout, PlacedWire
from tests.checking.builders import layout, problem, replace
from tests.checking.rich import rich_complete, rich_problem

DATA = json.loads(rich_complete().to_json())
PATHS = {
    **{f"totals {name}": ("totals", name) for name in DATA["totals"]},
    "objective": ("objective_g",),
    **{f"unit {name}": ("units", 0, "current_a", name) for name in DATA["units"][0]["current_a"]},
    **{f"feed {name}": ("units", 1, "feed", name) for name in FIGURES[Feed]},
    **{f"circuit {name}": ("circuits", 1, name) for name in ("current_a", "drop_percent")},
    **{f"wire {name}": ("circuits", 0, "wires", 1, name) for name in FIGURES[PlacedWire]},
}


def changed(path: tuple, by: float) -> Layout:
    data = json.loads(rich_complete().to_json())
    *way, last = path
    spot = data
    for key in way:
        spot = spot[key]
    spot[last] += by
    return Layout.from_json(json.dumps(data))


@pytest.mark.parametrize("path", PATHS.values(), ids=PATHS)
def test_a_false_figure_is_named_with_the_difference(path):
    found = check(rich_problem(), changed(path, 1)).violations
    assert [(v.rule, v.amount) for v in found] == [("stated figures", pytest.approx(1.0))]


@pytest.mark.parametrize(("by", "clean"), [(0.0004, True), (0.0006, False)])
def test_a_figure_may_be_rounded_to_three_decimals(by, clean):
    assert check(rich_problem(), changed(("circuits", 0, "wires", 1, "copper_g"), by)).clean is clean


def test_the_sentence_names_figure_and_unit():
    found = check(rich_problem(), changed(("circuits", 2, "wires", 0, "length_m"), 0.5)).violations
    assert [v.text for v in found] == ["circuit fan, wire 1 (out) states length 0.8 m, recomputed 0.3 m"]


def test_a_current_in_an_unknown_condition_is_named():
    stated = replace(layout().units[0], current_a=(("midnight", 4.0),))
    found = check(problem(), layout(units=(stated,))).violations
    assert [v.text for v in found] == [
        "unit main states a current in 'midnight', which is not a condition of the problem"
    ]


OBJECTIVE = 169.343


@pytest.mark.parametrize(
    ("stated", "rules"),
    [
        ({"status": OPTIMAL, "bound_g": OBJECTIVE, "gap": 0.0}, []),
        ({"status": OPTIMAL, "bound_g": OBJECTIVE * (1 - 5e-7)}, []),
        ({"status": OPTIMAL, "bound_g": OBJECTIVE * (1 - 5e-6)}, ["proof"]),
        ({"status": OPTIMAL}, ["proof"]),
        ({"status": OPTIMAL, "bound_g": OBJECTIVE + 1.0}, ["proof"]),
        ({"status": FEASIBLE}, []),
        ({"status": FEASIBLE, "bound_g": 0.9 * OBJECTIVE, "gap": 0.1}, []),
        ({"status": FEASIBLE, "bound_g": 0.9 * OBJECTIVE, "gap": 0.2}, ["stated figures"]),
        ({"status": FEASIBLE, "gap": 0.2}, ["stated figures"]),
        ({"status": "perfect"}, ["proof"]),
    ],
)
def test_status_bound_and_gap_agree(stated, rules):
    whole = complete(problem(), layout())
    assert [v.rule for v in check(problem(), replace(whole, **stated)).violations] == rules


def test_an_infeasible_problem_has_no_layout_to_check():
    found = check(problem(), Layout(problem="cart", status=INFEASIBLE)).violations
    assert {v.rule for v in found} == {"load fed once", "unit fitted"}


@pytest.mark.parametrize(
    ("objective", "bound", "expected"), [(200.0, 150.0, 0.25), (200.0, None, None), (0.0, 0.0, 0.0), (0.0, -1.0, None)]
)
def test_gap(objective, bound, expected):
    assert gap(objective, bound) == expected
