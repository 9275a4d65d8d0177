"""The clinic van, a year later: what is built stays."""

from __future__ import annotations

import pytest

from allocator.advising.revising import Revision, revise
from allocator.checking import check
from allocator.layout import INFEASIBLE, OPTIMAL
from allocator.reading import read_problem
from allocator.solving import solve
from tests.paths import PROBLEMS

LATER = read_problem(PROBLEMS / "clinic-van-later")


@pytest.fixture(scope="module")
def revisions() -> dict[int, Revision]:
    """Revisions by the most moves that are allowed."""
    built = solve(read_problem(PROBLEMS / "clinic-van"))
    return {most: revise(LATER, built, max_moves=most, free=False) for most in (0, 1, 2, 5)}


def test_no_more_is_moved_than_must_be(revisions):
    least = revisions[0].least_moves or 0
    assert revisions[5].moves == least
    assert all(revision.status == (OPTIMAL if most >= least else INFEASIBLE) for most, revision in revisions.items())


def test_all_that_is_built_could_stay_by_itself(revisions):
    assert revisions[5].reasons == ()


def test_more_moves_are_never_worse(revisions):
    found = [r.objective_g if r.objective_g is not None else float("inf") for r in revisions.values()]
    assert found == sorted(found, reverse=True)


def test_only_what_is_new_or_moved_is_made(revisions):
    names = {c.of for c in revisions[5].changes if c.what in ("new", "moved")}
    made = [wire for wire in revisions[5].wires if wire.what == "new"]
    assert made
    assert all({*wire.loads} <= names for wire in made)


def test_the_revised_layout_passes_the_check(revisions):
    layout = revisions[5].layout
    assert layout is not None
    assert check(LATER, layout).clean
