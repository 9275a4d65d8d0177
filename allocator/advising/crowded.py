"""What would make room in bundles: wires that need not lie in them at all."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.advising.changed_words import ground_stud, of_loads
from allocator.advising.changes import Change
from allocator.advising.knobs import up_a
from allocator.problem import CHASSIS, SOURCE, Load, Problem, Supply

LARGEST = 3
"""Loads, the largest first, that are tried to be fed from the source; and places that are tried to have a stud."""
STUD_STEP_A = 5.0


def less_crowded(problem: Problem) -> Iterator[tuple[Change, ...]]:
    """A large load fed from the source, or a stud where large loads sit: their wires take most of a bundle."""
    by_size = sorted(problem.loads, key=lambda load: (-load.full_current_a, load.name))
    for load in [one for one in by_size if _may_be_direct(one)][:LARGEST]:
        yield (_from_source(load),)
    if any(place.stud_a for place in problem.places):
        returning = [one for one in by_size if one.return_to == CHASSIS]
        without = dict.fromkeys(one.place for one in returning if not problem.place[one.place].stud_a)
        for place in list(without)[:LARGEST]:
            amperes = sum(one.full_current_a for one in returning if one.place == place)
            yield (ground_stud(problem, place, up_a(amperes, STUD_STEP_A)),)


def _may_be_direct(load: Load) -> bool:
    return load.supply is Supply.UNIT and not (load.needs or load.share or load.together or load.unit)


def _from_source(load: Load) -> Change:
    words = f"feed '{load.name}' from the {SOURCE}, behind a fuse and a switch of its own, not from a unit"
    return of_loads((load.name,), "supply", Supply.UNIT.value, Supply.DIRECT.value, words, supply=Supply.DIRECT)
