"""What a notebook shows: escaped, short, and there for every result of the public names."""

from __future__ import annotations

from dataclasses import replace

import pytest

import allocator
from allocator import compare, energy, failures, headroom
from allocator.analysis.margins import margins
from allocator.checking import check
from allocator.evaluation.network_volts import volts
from allocator.explaining.compromises import Compromises
from allocator.explaining.explanation import Explanation
from allocator.infeasibility.why_not import Infeasibility
from allocator.layout import FEASIBLE, INFEASIBLE, OPTIMAL
from allocator.notebook import ROWS_SHOWN, shown
from allocator.options import Evident, Fault
from allocator.pareto_front import Point, Tradeoff
from allocator.revising import Revision
from allocator.table import Table, texts
from tests.reporting.samples import LAYOUT, PROBLEM

NASTY = replace(PROBLEM, name="<script>alert(1)</script> & more")
POINT = Point(copper_g=99.5, outputs_used=7, units_fitted=1, proven=True, bound_g=99.5, layout=LAYOUT)

SHOWN = {
    "problem": (PROBLEM, "nine-way"),
    "layout": (LAYOUT, "lamp 1, lamp 2"),
    "check": (check(PROBLEM, LAYOUT), "violations of the rules"),
    "energy": (energy(PROBLEM, LAYOUT), "surplus_a"),
    "failures": (failures(PROBLEM, LAYOUT), "unit front"),
    "headroom": (headroom(PROBLEM, LAYOUT, places=["tail"]), "held_by"),
    "margins": (margins(PROBLEM, LAYOUT), "circuit heater"),
    "volts": (volts(PROBLEM, LAYOUT), "Volts at the loads"),
    "compare": (compare(PROBLEM, {"ours": LAYOUT, "theirs": LAYOUT}), "outputs_used"),
    "tradeoff": (Tradeoff(problem="p", against="outputs", status=OPTIMAL, points=(POINT,)), "99.5"),
    "revise": (Revision(problem="p", status=FEASIBLE, move_g=60.0, max_moves=None, resite=False), "copper that stays"),
    "compromises": (Compromises(LAYOUT, (), 2, 12.5), "12.5"),
    "why not": (Infeasibility("p", (Fault(Evident.NO_UNIT),), (), ()), "No unit can be mounted"),
    "explain": (
        Explanation("heater", LAYOUT.circuits[1], "warm", 50.0, 200.0, True, False, (), (), ()),
        "unit front at warm, output H1, H2",
    ),
}


@pytest.mark.parametrize("name", SHOWN)
def test_each_result_shows_itself(name):
    thing, said = SHOWN[name]
    assert said in thing._repr_html_()


def test_nothing_of_the_users_is_markup():
    for thing in (NASTY, replace(LAYOUT, problem=NASTY.name), compare(NASTY, {"<b>": LAYOUT})):
        text = thing._repr_html_()
        assert "<script>" not in text and "<b>" not in text
        assert "&lt;script&gt;alert(1)&lt;/script&gt; &amp; more" in text


def test_a_long_table_is_cut_and_says_so():
    text = shown("t", [], Table(columns=texts("n"), rows=tuple((n,) for n in range(ROWS_SHOWN + 3))))
    assert text.count("<tr>") == ROWS_SHOWN + 1
    assert "and 3 more rows" in text


def test_what_is_not_known_is_empty():
    assert shown("t", [("gap", None), ("bound", 1.0)]) == "<div><strong>t</strong><ul><li>bound: 1</li></ul></div>"


def test_a_cell_that_is_not_known_is_empty():
    text = shown("t", [], Table(columns=texts("a"), rows=((1.5,), (None,), (float("nan"),))))
    assert '<th scope="col">a</th>' in text
    assert text.count("<td") == 3
    assert text.count("></td>") == 2


def test_a_layout_without_figures_shows_itself_too():
    bare = allocator.Layout(problem="bare", status=INFEASIBLE)
    assert bare._repr_html_() == "<div><strong>Layout of bare</strong><ul><li>status: infeasible</li></ul></div>"
