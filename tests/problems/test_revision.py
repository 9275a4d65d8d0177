"""The clinic van, a year later: what is built stays. Each wire as if alone, where proofs take seconds."""

from __future__ import annotations

import pytest

from allocator.checking import check
from allocator.layout import INFEASIBLE, OPTIMAL, Layout
from allocator.reporting.lists import build_of
from allocator.reporting.whole_wires import wires_of
from allocator.revising import Revision, revise
from tests.solved import demonstration, solved

LATER = demonstration("clinic-van-later", bundles=False)


@pytest.fixture(scope="module")
def built() -> Layout:
    return solved("clinic-van", bundles=False)


@pytest.fixture(scope="module")
def revisions(built) -> dict[int, Revision]:
    """Revisions by the most moves that are allowed."""
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


def by_label(layout: Layout) -> dict[str, tuple[object, ...]]:
    """Every wire by its label: what it is, its way, and the numbers of its contacts."""
    build = build_of(LATER, layout)
    return {
        wire.label: (wire.role, wire.route, wire.size, wire.ends, [contact.number for contact in wire.contacts])
        for wire in wires_of(build.context, build.labels)
    }


def test_wires_that_stay_keep_their_labels_and_the_numbers_of_their_contacts(built, revisions):
    revision = revisions[5]
    assert revision.layout is not None
    before, after = by_label(built), by_label(revision.layout)
    same = [label for label in before if after.get(label) == before[label]]
    assert len(same) == sum(wire.what == "stays" for wire in revision.wires)
    assert len(after) - len(same) == sum(wire.what == "new" for wire in revision.wires)
    assert any(numbers for *_, numbers in before.values())


def test_the_revised_layout_passes_the_check(revisions):
    layout = revisions[5].layout
    assert layout is not None
    assert check(LATER, layout).clean
