"""The engine's proven optimum against the published one, through problem folders.

The data are not part of the project; ``tests/instances.py`` says where they are looked for. Taken are those of
each set that the textbook model proved within half a second, or the two that it proved first.
``python -m benchmarks.instances`` runs all of them.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from allocator.layout import INFEASIBLE, OPTIMAL
from allocator.reading import read_problem
from allocator.search.solve import solve
from tests.instances import FOLDER, PUBLICATIONS, Published, published, write

LOCATION = ("sscflp_holmberg", "sscflp_diaz_fernandez", "sscflp_orlib_cap", "cpmp_orlib")
SECONDS = 0.5
FEWEST = 2

ABSENT = (
    f"no data in {FOLDER} (set ALLOCATOR_INSTANCES to a folder that has them); the instances are those of "
    + "; ".join(PUBLICATIONS[name] for name in LOCATION)
)

needs_data = pytest.mark.skipif(not FOLDER.is_dir(), reason=ABSENT)


def quick() -> list[Published]:
    """Of each set the rows that took the textbook model little time, or the two that took it least."""
    found: list[Published] = []
    for name in LOCATION:
        rows = sorted((row for row in published(name) if row.seconds is not None), key=lambda row: row.seconds or 0.0)
        found += [row for n, row in enumerate(rows) if n < FEWEST or (row.seconds or 0.0) <= SECONDS]
    return found


@needs_data
@pytest.mark.parametrize("row", quick(), ids=str)
def test_the_proven_optimum_is_the_published_one(row: Published, tmp_path: Path) -> None:
    instance = row.read()
    layout = solve(read_problem(write(instance, tmp_path)))
    assert layout.status == OPTIMAL
    assert layout.objective_g == pytest.approx(row.optimum, abs=instance.rounding)
    assert instance.cost_of(layout) == pytest.approx(row.optimum, abs=max(0.01, instance.rounding))


@needs_data
def test_a_customer_larger_than_every_facility_leaves_no_layout(tmp_path: Path) -> None:
    """As in OR-Library's cap41 with single sourcing: cap61 with capacities of 5000 against a demand of 12912."""
    row = next(row for row in published("sscflp_orlib_cap") if row.name == "cap61")
    instance = row.read()
    small = replace(instance, capacity=[5000] * len(instance.capacity))
    assert solve(read_problem(write(small, tmp_path))).status == INFEASIBLE


@needs_data
def test_every_set_has_instances_among_the_quick_ones() -> None:
    assert {row.set for row in quick()} == set(LOCATION)
