"""Evaluations: what leaves nothing open is completed once, and a completed layout is evaluated as if it were stated."""

from __future__ import annotations

from dataclasses import fields

import pytest

from allocator.checking import check
from allocator.evaluation import prepare as module
from allocator.evaluation.contact_numbering import contacts_of
from allocator.evaluation.context import Context
from allocator.evaluation.prepare import prepare
from allocator.layout import Layout
from allocator.problem import Problem
from allocator.reading import read_problem
from tests.case_folders import CASES, cases_of, problem_folder
from tests.checking.rich import rich_layout, rich_problem
from tests.reporting import warm

BY_HAND = cases_of("by_hand")


def by_hand(name: str) -> tuple[Problem, Layout]:
    text = (CASES / "by_hand" / name / "layout.json").read_text(encoding="utf-8")
    return read_problem(problem_folder(f"by_hand/{name}/problem")), Layout.from_json(text)


LAID = {name: by_hand(name) for name in BY_HAND} | {
    "warm": (warm.CART, warm.LAYOUT), "rich": (rich_problem(), rich_layout()),
}  # fmt: skip


@pytest.fixture
def completions(monkeypatch: pytest.MonkeyPatch) -> list[Layout]:
    """Layouts as they were completed, each time."""
    found: list[Layout] = []
    real = module._completed

    def completed(problem, network, neighbours, stated):
        found.append(stated)
        return real(problem, network, neighbours, stated)

    monkeypatch.setattr(module, "_completed", completed)
    return found


def figures(context: Context) -> dict[str, object]:
    """All that an evaluation holds, numbers of contacts too, which do not count where layouts are compared."""
    held = {one.name: getattr(context, one.name) for one in fields(context) if one.name != "network"}
    return held | {"feeds": context.feeds, "numbers": [one.number for one in contacts_of(context.layout)]}


@pytest.mark.parametrize("name", LAID)
def test_a_completed_layout_is_evaluated_as_if_it_were_stated(name: str) -> None:
    problem, layout = LAID[name]
    report = check(problem, layout)
    assert figures(report.context) == figures(prepare(problem, report.layout))


@pytest.mark.parametrize("name", LAID)
def test_a_layout_that_leaves_nothing_open_is_completed_once(name: str, completions: list[Layout]) -> None:
    problem, layout = LAID[name]
    whole = check(problem, layout).layout
    completions.clear()
    prepare(problem, whole)
    assert completions == [whole]


def test_what_is_left_open_is_completed_again_between_bundles_as_warm_as_they_were(completions: list[Layout]) -> None:
    context = prepare(warm.CART, warm.LAYOUT)
    assert context.neighbours.bodies_c
    assert context.layout != warm.LAYOUT
    assert completions == [warm.LAYOUT, warm.LAYOUT]
