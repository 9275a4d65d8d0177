"""Bound tightening: what is left out stands in no layout better than the incumbent."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from math import inf

import pytest

from allocator.model import OPTIMAL, optimise
from allocator.model.lp_relaxation import LpRelaxation
from allocator.model.model import Model, build
from allocator.model.reduced_cost_fixing import fix_by_reduced_cost
from allocator.model.rows import at_least
from allocator.options import Option, OptionList, list_options
from allocator.problem import CHASSIS, Bank, OutputClass
from tests.engine.draws import ALL, SMALL, draw
from tests.paths import ROOT

SEEDS = range(60)


@pytest.fixture(scope="module")
def solved() -> list[tuple[OptionList, float]]:
    """Drawn problems that have a layout, with the least objective of each."""
    found = []
    for seed in SEEDS:
        option_list = list_options(draw(seed, SMALL, ALL))
        solution = optimise(option_list)
        if solution.status == OPTIMAL and solution.objective_g is not None:
            found.append((option_list, solution.objective_g))
    return found


def test_the_best_layout_stays(solved: list[tuple[OptionList, float]]) -> None:
    for option_list, best_g in solved:
        left = fix_by_reduced_cost(option_list, best_g, ()).option_list
        assert optimise(left).objective_g == pytest.approx(best_g, abs=1e-3)


def test_what_goes_stands_in_nothing_as_light_as_the_incumbent(solved: list[tuple[OptionList, float]]) -> None:
    """Each option that goes, taken once at the least: the best layout with it is heavier than the incumbent."""
    held = 0
    for option_list, best_g in solved[:12]:
        incumbent_g = 1.05 * best_g
        kept = {_kind(option) for option in fix_by_reduced_cost(option_list, incumbent_g, ()).option_list.options}
        for option in option_list.options:
            if _kind(option) not in kept:
                with_it = optimise(option_list, change=lambda model, o=option.index: taking(model, o))
                assert with_it.objective_g is None or with_it.objective_g > incumbent_g
                held += 1
    assert held > 20


def _kind(option: Option) -> object:
    return option.candidate.members, option.slot, option.outputs, option.takes, option.plan.key


def taking(model: Model, option: int) -> Model:
    """The model with an option taken."""
    row = ("taken", at_least("taken", [(model.variables.take[option], 1.0)], 1))
    return replace(model, rows=(*model.rows, row))


def test_slots_feeds_and_options_go(solved: list[tuple[OptionList, float]]) -> None:
    lefts = [(option_list, fix_by_reduced_cost(option_list, best_g, ()).option_list) for option_list, best_g in solved]
    assert any(len(left.options) < len(option_list.options) for option_list, left in lefts)
    assert any(len(left.feeds) < len(option_list.feeds) for option_list, left in lefts)
    for _, left in lefts:
        assert [option.index for option in left.options] == [*range(len(left.options))]
        assert [feed.index for feed in left.feeds] == [*range(len(left.feeds))]


def test_without_an_incumbent_all_stays_and_the_cheapest_come_first(solved: list[tuple[OptionList, float]]) -> None:
    for option_list, _ in solved[:10]:
        left = fix_by_reduced_cost(option_list, inf, ())
        assert len(left.option_list.options) == len(option_list.options)
        few = left.cheapest(3)
        most = max(sorted(left.reduced_g)[:3])
        assert len(few.options) == min(3, len(option_list.options))
        assert sum(grams <= most for grams in left.reduced_g) >= len(few.options)


def test_what_is_fixed_with_the_banks_joined_is_the_same_outputs_in_each_bank() -> None:
    """Two loads on two outputs each, in either bank; the class of stout wires has the number of the other bank's."""
    fine = OutputClass(
        name="fine",
        pins=("1", "2"),
        continuous_a=9.7,
        wire_mm2=(0.4, 6.2),
        bank="left",
        parallel=2,
        trip_step_a=0.7,
    )
    stout = replace(fine, name="stout", pins=("5", "6"), wire_mm2=(3.9, 6.2))
    twins = [replace(own, bank="right", pins=tuple(f"r{pin}" for pin in own.pins)) for own in (fine, stout)]
    drawn = draw(0, SMALL, frozenset())
    banks = tuple(Bank(name=name, continuous_a=40.0) for name in ("left", "right"))
    kind = replace(drawn.unit_types[0], continuous_a=70.0, banks=banks, outputs=(fine, twins[0], stout, twins[1]))
    unit = replace(drawn.units[0], type=kind.name)
    near = [replace(load, place=unit.sites[0], return_to=CHASSIS) for load in drawn.loads]
    loads = tuple(replace(load, current_a=amperes) for load, amperes in zip(near, (12.1, 12.3), strict=False))
    problem = replace(drawn, unit_types=(kind,), units=(unit,), loads=loads)
    whole, joined = list_options(problem), list_options(problem, banks_joined=True)
    best_g = optimise(whole).objective_g
    assert best_g is not None
    fixed = fix_by_reduced_cost(joined, best_g, ()).fixed
    left = fix_by_reduced_cost(whole, best_g, fixed).option_list
    assert len(left.options) < len(whole.options)
    assert optimise(left).objective_g == best_g


def test_a_probe_leaves_the_relaxation_as_it_was(solved: list[tuple[OptionList, float]]) -> None:
    for option_list, best_g in solved[:10]:
        model = build(option_list)
        lp = LpRelaxation(model)
        least = lp.solve()
        assert least is not None
        assert least <= best_g + 1e-6
        for column in model.variables.fit:
            lp.passes(column, 1.0, best_g)
        assert lp.solve() == pytest.approx(least, abs=1e-6)


def test_the_relaxation_may_come_first_in_a_process() -> None:
    """HiGHS refuses every later number of threads but the first of the process."""
    script = (
        "import highspy\n"
        "from allocator.model.lp_relaxation import LpRelaxation\n"
        "from allocator.model.model import build\n"
        "from allocator.options import list_options\n"
        "from tests.engine.draws import ALL, SMALL, draw\n"
        "listed = list_options(draw(1, SMALL, ALL))\n"
        "model = build(listed)\n"
        "relaxation = LpRelaxation(model)\n"
        "assert relaxation.solve() is not None\n"
        "relaxation.passes(model.variables.fit[0], 1.0, 1e9)\n"
        "other = highspy.Highs()\n"
        "other.setOptionValue('threads', 1)\n"
        "other.addVar(0.0, 1.0)\n"
        "other.changeColIntegrality(0, highspy.HighsVarType.kInteger)\n"
        "assert other.run() == highspy.HighsStatus.kOk\n"
    )
    subprocess.run([sys.executable, "-c", script], cwd=ROOT, check=True)
