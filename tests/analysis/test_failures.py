"""What a failure takes, held against taking the thing away and asking what still has current: shares no code."""

from __future__ import annotations

from dataclasses import FrozenInstanceError, replace
from itertools import pairwise

import pytest

from allocator.analysis.failures import Failure, Failures, failures
from allocator.checking import check
from allocator.evaluation.complete import complete
from allocator.layout import Layout
from allocator.problem import SOURCE, Function, Problem
from tests.checking.builders import circuit, layout, load, problem
from tests.checking.rich import rich_layout, rich_problem

RICH, LAID = rich_problem(), complete(rich_problem(), rich_layout())


def found(given: Problem = RICH, laid: Layout = LAID) -> dict[str, Failure]:
    return {one.object: one for one in failures(given, laid).failures}


def crossed(given: Problem, places: tuple[str, ...]) -> set[str]:
    bulkheads = {frozenset((s.start, s.end)): s.bulkhead for s in given.segments}
    return {name for pair in pairwise(places) if (name := bulkheads[frozenset(pair)]) is not None}


def with_current(given: Problem, laid: Layout, gone: str) -> set[str]:
    """Loads that still have a way from a source and back, with one thing out of the machine. By walking the wires."""
    fed = set()
    for item in laid.circuits:
        unit = next(unit for unit in laid.units if unit.name == item.unit)
        assert unit.feed is not None
        kind = given.unit_type[given.unit[unit.name].type]
        banks = {one.bank for pin in item.pins for one in kind.outputs if pin in one.pins}
        own = {f"source {given.unit[unit.name].source}", f"the feed of unit {unit.name}", f"unit {unit.name}"}
        own |= {f"bank {bank} of unit {unit.name}" for bank in banks}
        own |= {f"output {pin} of unit {unit.name}" for pin in item.pins}
        own |= {f"bulkhead {name}" for name in crossed(given, unit.feed.route)}
        fed |= {name for name in item.loads if gone not in own and reached(given, item.wires, name, gone)}
    for one in laid.direct:
        if gone != f"source {one.source}" and reached(given, one.wires, one.load, gone):
            fed.add(one.load)
    return fed


def reached(given: Problem, wires, name: str, gone: str) -> bool:
    """Whether every wire that the load's current takes is whole, and the stud it ends at is there."""
    for wire in wires:
        if name in wire.loads and gone in {f"bulkhead {b}" for b in crossed(given, wire.route)}:
            return False
        ends_here = wire.role == "return" and name in wire.loads and given.load[name].return_to != SOURCE
        if ends_here and gone == f"stud {wire.end}":
            return False
    return True


def everything(given: Problem, laid: Layout) -> set[str]:
    kinds = {unit.name: given.unit_type[given.unit[unit.name].type] for unit in laid.units}
    return {
        *(f"source {one.name}" for one in given.sources),
        *(f"bulkhead {one.name}" for one in given.bulkheads),
        *(f"stud {one.name}" for one in given.places if one.stud_a is not None),
        *(f"unit {name}" for name in kinds),
        *(f"the feed of unit {name}" for name in kinds),
        *(f"bank {bank.name} of unit {name}" for name, kind in kinds.items() for bank in kind.banks),
        *(f"output {pin} of unit {name}" for name, kind in kinds.items() for one in kind.outputs for pin in one.pins),
    }


def test_everything_that_can_fail_is_there_once():
    objects = [one.object for one in failures(RICH, LAID).failures]
    assert len(objects) == len(set(objects))
    assert set(objects) == everything(RICH, LAID)


@pytest.mark.parametrize("gone", sorted(everything(RICH, LAID)))
def test_what_is_lost_is_what_has_no_current_with_the_thing_taken_away(gone):
    left = with_current(RICH, LAID, gone)
    assert set(found()[gone].loads) == {one.name for one in RICH.loads} - left


@pytest.mark.parametrize("gone", ["unit main", "bulkhead wall", "stud rear"])
def test_in_a_condition_only_what_is_on_counts_with_its_heating_current(gone):
    loads = tuple(replace(one, levels=(float(n % 2), 0.25)) for n, one in enumerate(RICH.loads) if one.share is None)
    two = replace(
        RICH,
        loads=(*(replace(one, levels=(1.0, 0.25)) for one in RICH.loads if one.share is not None), *loads),
        conditions=("day", "night"),
    )
    one = found(two)[gone]
    for m, lost in enumerate(one.conditions):
        on = [load for load in two.loads if load.name in one.loads and load.levels[m] > 0]
        assert lost.loads == tuple(load.name for load in on)
        assert lost.current_a == pytest.approx(sum(load.current_a * load.heating(m) for load in on))


PAIR = Function(name="pair", loads=("lamp", "fan"), survive=1, against=("output",))
BANKS = layout(circuit("lamp", "a1"), circuit("fan", "a2"))


def pair(*, survive: int = 1, laid: Layout = BANKS) -> Failures:
    given = problem(load("lamp"), load("fan"), functions=(replace(PAIR, survive=survive),))
    return failures(given, laid)


def hit(object_: str, **changes):
    return next(one for one in pair(**changes).failures if one.object == object_).hits[0]


def test_a_function_degrades_while_enough_is_left():
    one = hit("output a1 of unit main")
    assert (one.taken, one.left, one.loads, one.gone, one.asked) == (1, 1, 2, False, True)


def test_a_function_is_gone_below_what_must_survive_in_kinds_not_asked_for_as_well():
    one = hit("bank left of unit main")
    assert (one.left, one.gone, one.asked) == (0, True, False)


def test_what_is_gone_and_asked_for_is_what_the_check_reports():
    """On all layouts in which every load is fed."""
    for survive in (1, 2):
        given = problem(load("lamp"), load("fan"), functions=(replace(PAIR, survive=survive),))
        broken = {one.object for one in check(given, BANKS).violations if one.rule == "function"}
        own = failures(given, BANKS).failures
        gone = {f"function pair without {f.object}" for f in own for h in f.hits if h.gone and h.asked}
        assert gone == broken


def test_the_worst_ends_most_functions_then_takes_most_loads():
    worst = pair().worst()
    assert (worst[0].object, worst[0].gone) == ("source battery", ("pair",))
    assert {"unit main", "the feed of unit main", "bank left of unit main"} <= set(worst[0].also)
    assert [len(one.loads) for one in worst[1:]] == [1, 1]


def test_a_load_that_nothing_feeds_is_not_left():
    alone = pair(laid=layout(circuit("lamp", "a1")))
    assert alone.unfed == ("fan",)
    output = next(one for one in alone.failures if one.object == "output a1 of unit main")
    assert (output.hits[0].left, output.gone) == (0, ("pair",))


def test_a_layout_that_names_what_is_not_there_has_failures_all_the_same():
    odd = layout(circuit("lamp", "z9"), circuit("ghost", "a1"), circuit("fan", unit="nowhere"))
    taken = {one.object: one.loads for one in pair(laid=odd).failures}
    assert taken["output z9 of unit main"] == ("lamp",)
    assert taken["unit nowhere"] == ("fan",)
    assert taken["output a1 of unit main"] == ()


def test_frames_hold_a_row_for_each_failure_and_condition_and_for_each_function_hit():
    all_of_it = failures(RICH, LAID)
    frame = all_of_it.frame().set_index(["object", "condition"])
    assert len(frame) == len(all_of_it.failures) * len(RICH.conditions)
    lost = found()["bulkhead wall"].conditions[0]
    assert frame.loc[("bulkhead wall", lost.condition), "count"] == len(lost.loads) > 0
    functions = all_of_it.function_frame()
    assert len(functions) == sum(len(one.hits) for one in all_of_it.failures)
    assert failures(problem(), layout()).function_frame().empty


def test_failures_are_frozen():
    with pytest.raises(FrozenInstanceError):
        pair().failures[0].loads = ()
