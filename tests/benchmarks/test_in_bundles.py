from __future__ import annotations

from allocator import read_problem
from benchmarks.demonstrations import as_if_alone
from benchmarks.in_bundles import HEADINGS, report, row, timed, weakest
from tests.case_folders import problem_folder

WARM = problem_folder("by_hand/six-wires-each-sized-as-if-alone/problem")


def test_a_row_holds_both_objectives_and_the_warmest_bundle():
    problem = read_problem(WARM)
    bundled = timed(problem, None)
    figures = row(problem, timed(as_if_alone(problem), None), bundled)
    assert len(figures) == len(HEADINGS)
    alone_g, in_bundles_g = (float(figures[n].replace(",", "")) for n in (1, 3))
    assert alone_g < in_bundles_g
    assert " wires, " in figures[6]
    assert " % of what it may give (" in figures[6]
    assert len(list(weakest(problem, bundled[0]))) == 5


def test_the_report_names_every_problem_and_its_weakest_margins():
    lines = list(report([WARM], None))
    assert sum("Flower stall" in line for line in lines) == 2
    assert sum(line.startswith("* ") for line in lines) == 5
