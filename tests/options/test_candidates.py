"""Alike loads, and the sets of loads that one output could feed: all of them, or the nearest."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest

from allocator.options import Cut, CutShort, LoadGroup, OptionList, candidates, list_options
from allocator.options.candidates import MOST_PER_WORD
from allocator.options.load_groups import load_groups_of
from allocator.problem import Bundling, Function, Load, Margins, Place, Problem, Run, Segment
from allocator.search.solve import solve
from tests.problem.samples import load, output, problem, unit, unit_type

# 10 A x 0.8: an output carries 8 A
ROOMY = unit_type(output(pins=tuple("ABCDEFGH"), wire_mm2=(0.5, 4.0)), continuous_a=80.0)


def machine(*loads: Load, **changed: object) -> Problem:
    return problem(**{"loads": loads, "unit_types": (ROOMY,), **changed})


def groups(asked: Problem) -> list[tuple[str, ...]]:
    return [tuple(own.name for own in group.loads) for group in load_groups_of(asked)]


# ---- alike loads -------------------------------------------------------------------------------------------------

TWINS = (load("one"), load("two"))


def test_loads_that_differ_in_name_and_remarks_only_are_alike() -> None:
    other = replace(TWINS[1], item="thing", type="lamp", extra=(("colour", "red"),), duty=0.5)
    assert groups(machine(TWINS[0], other)) == [("one", "two")]


@pytest.mark.parametrize(
    "changed",
    [
        {"place": "bench"},
        {"current_a": 5.001},
        {"levels": (0.5,)},
        {"return_to": "source"},
        {"lead_m": 0.2},
        {"max_drop": 0.03},
        {"min_volts_v": 10.0},
        {"max_trip_a": 9.0},
        {"stall_a": 9.0},
        {"share": "x"},
        {"together": "x"},
        {"unit": "front"},
        {"spread": 0.1},
    ],
    ids=str,
)
def test_loads_that_differ_in_anything_the_answer_sees_are_told_apart(changed: dict[str, object]) -> None:
    assert groups(machine(TWINS[0], replace(TWINS[1], **changed))) == [("one",), ("two",)]  # type: ignore[arg-type]


def test_loads_with_a_spread_are_alike_until_single_loads_are_counted() -> None:
    loads = [replace(twin, spread=0.1) for twin in TWINS]
    assert groups(machine(*loads)) == [("one", "two")]
    assert groups(machine(*loads, margins=Margins(bundle=Bundling.NONE, robust=1))) == [("one",), ("two",)]


def test_pinned_loads_are_told_apart() -> None:
    assert groups(machine(*(replace(twin, unit="front") for twin in TWINS))) == [("one",), ("two",)]


def test_loads_of_unlike_functions_or_runs_are_told_apart() -> None:
    function = Function(name="f", loads=("one",), survive=1, against=("unit",))
    assert groups(machine(*TWINS, functions=(function,))) == [("one",), ("two",)]
    run = Run(load="one", site="bench", length_m=1.0)
    assert groups(machine(*TWINS, runs=(run,))) == [("one",), ("two",)]
    runs = tuple(replace(run, load=name) for name in ("one", "two"))
    assert groups(machine(*TWINS, runs=runs)) == [("one", "two")]


# ---- candidate sets ----------------------------------------------------------------------------------------------


def sets(option_list: OptionList) -> set[frozenset[tuple[str, int]]]:
    """Candidates of two loads or more, by name of the first of each load group and count."""
    return {
        frozenset((option_list.load_groups[g].sample.name, n) for g, n in candidate.members)
        for candidate in option_list.candidates
        if not candidate.single
    }


def possible(load_groups: tuple[LoadGroup, ...], most_a: float) -> set[frozenset[tuple[str, int]]]:
    """All sets of two loads or more of one share word within a current, by trying all counts."""
    found = set()
    for word in {group.sample.share for group in load_groups} - {None}:
        own = [group for group in load_groups if group.sample.share == word]
        for counts in product(*(range(len(group.loads) + 1) for group in own)):
            current = sum(n * g.sample.full_current_a for n, g in zip(counts, own, strict=True))
            if sum(counts) >= 2 and current <= most_a * (1 + 1e-9):
                found.add(frozenset((g.sample.name, n) for n, g in zip(counts, own, strict=True) if n))
    return found


def test_every_set_that_one_output_carries_is_a_candidate() -> None:
    lamps = [load(f"lamp {n}", current_a=2.0, share="lamps") for n in range(4)]
    mixed = [
        load("deck", current_a=3.0, share="lamps"),
        load("mast", current_a=1.5, spread=0.2, share="lamps", place="bench"),
        load("fan", current_a=4.0, share="fans"),
        load("blower", current_a=4.1, share="fans"),
        load("alone", current_a=1.0),
    ]
    option_list = list_options(machine(*lamps, *mixed))
    assert sets(option_list) == possible(option_list.load_groups, 8.0)
    assert option_list.cut_short == ()
    assert {frozenset({("lamp 0", 4)}), frozenset({("lamp 0", 1), ("mast", 1)})} <= sets(option_list)
    assert frozenset({("fan", 1), ("blower", 1)}) not in sets(option_list)


def test_every_load_alone_is_a_candidate() -> None:
    option_list = list_options(machine(load("a", share="x", current_a=1.0), load("b", current_a=2.0)))
    assert [c.members for c in option_list.candidates if c.single] == [((0, 1),), ((1, 1),)]


def test_loads_that_reverse_share_with_nobody() -> None:
    able = unit_type(replace(ROOMY.outputs[0], capabilities=("bridge",)))
    motors = [load(f"motor {n}", current_a=1.0, share="x", needs=("bridge",)) for n in range(2)]
    assert sets(list_options(machine(*motors, unit_types=(able,)))) == set()


def test_loads_pinned_to_unlike_outputs_or_units_share_no_set() -> None:
    one, two = (load(name, current_a=1.0, share="x") for name in ("one", "two"))
    units = (unit(), unit("rear", sites=("door",)))
    apart = [
        (replace(one, unit="front"), replace(two, unit="rear")),
        (replace(one, unit="front", output="A"), replace(two, unit="front", output="B")),
    ]
    for pair in apart:
        assert sets(list_options(machine(*pair, units=units))) == set()
    same = (replace(one, unit="front", output="A"), replace(two, unit="front"))
    assert len(sets(list_options(machine(*same, units=units)))) == 1


def test_a_set_takes_no_more_of_a_function_than_may_fail_with_one_output() -> None:
    lamps = [load(f"lamp {n}", item="lamp", current_a=1.0, share="x") for n in range(4)]
    function = Function(name="f", loads=("lamp",), survive=2, against=("output",))
    largest = [
        max(sum(n for _, n in members) for members in sets(list_options(machine(*lamps, functions=functions))))
        for functions in ((), (function,), (replace(function, against=("unit",)),))
    ]
    assert largest == [4, 2, 4]


# ---- the cap -----------------------------------------------------------------------------------------------------


def row_of_lamps(count: int) -> Problem:
    """Lamps of unlike currents along a row of places, the first next to the last but one, and so on."""
    places = [Place(name="box"), Place(name="bench"), *(Place(name=f"p{n}") for n in range(count))]
    segments = [Segment(start="box", end="bench", length_m=0.5)]
    segments += [
        Segment(start="bench" if n == 0 else f"p{n - 1}", end=f"p{n}", length_m=1.0 + 0.001 * n) for n in range(count)
    ]
    lamps = [load(f"lamp {n}", place=f"p{n}", current_a=0.5 + 0.001 * n, share="lamps") for n in range(count)]
    return machine(*lamps, places=tuple(places), segments=tuple(segments))


def test_where_sets_are_too_many_the_nearest_are_listed_and_the_layout_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(candidates, "MOST_PER_WORD", 12)
    asked = row_of_lamps(6)
    said = "share word 'lamps': only the nearest 12 sets of loads are listed"
    option_list = list_options(asked)
    assert [cut.text for cut in option_list.cut_short] == [said]
    listed = [c for c in option_list.candidates if not c.single]
    assert len(listed) == 12
    layout = solve(asked)
    assert dict(layout.listed)["cut_short"] == (said,)
    assert dict(layout.listed)["circuits"] == 12 + 6

    def span(names: frozenset[tuple[str, int]]) -> int:
        numbers = [int(name.removeprefix("lamp ")) for name, _ in names]
        return max(numbers) - min(numbers)

    taken = sets(option_list)
    left_out = possible(option_list.load_groups, 8.0) - taken
    assert max(span(names) for names in taken) <= min(span(names) for names in left_out)


def test_where_they_are_few_enough_nothing_is_cut() -> None:
    option_list = list_options(row_of_lamps(6))
    assert option_list.cut_short == ()
    assert sets(option_list) == possible(option_list.load_groups, 8.0)


def test_the_cap_as_it_is_cuts_ten_lamps_in_a_row() -> None:
    option_list = list_options(row_of_lamps(10))
    assert len(sets(option_list)) == MOST_PER_WORD
    assert option_list.cut_short == (CutShort(Cut.SETS, ("lamps", MOST_PER_WORD)),)
