"""How many outputs a circuit takes, at which trip, or why it cannot, with amounts."""

from __future__ import annotations

from dataclasses import replace

import pytest

from allocator.options.jobs import Job, hardest_start, job_for, let_through_a2s
from allocator.options.refusals import Refusal
from allocator.options.slots import Slot, slots, unit_groups_of
from allocator.problem import Load, OutputClass, Place, Problem
from tests.problem.samples import load, output, problem, unit_type

TRIPLE = output(pins=("A", "B", "C"), parallel=3, parallel_use=0.9, trip_step_a=0.5)


def machine(outputs: OutputClass = TRIPLE, **changed: object) -> Problem:
    kind = unit_type(outputs, hot=((60.0, 1.0), (80.0, 0.5)))
    return problem(unit_types=(kind,), **changed)


def slot_of(asked: Problem) -> Slot:
    return slots(asked, unit_groups_of(asked))[0]


def job(outputs: OutputClass, *loads: tuple[Load, int], **changed: object) -> Job | Refusal:
    asked = machine(outputs, loads=tuple(own for own, _ in loads), **changed)
    return job_for(asked, loads, slot_of(asked), 0)


def done(outputs: OutputClass, *loads: tuple[Load, int], **changed: object) -> Job:
    found = job(outputs, *loads, **changed)
    assert isinstance(found, Job)
    return found


def refused(
    outputs: OutputClass, *loads: tuple[Load, int], **changed: object
) -> tuple[str, float | None, float | None]:
    found = job(outputs, *loads, **changed)
    assert isinstance(found, Refusal)
    return found.reason, found.asked, found.limit


# 10 A x 0.8 = 8 A on one output; 2 x 0.9 x 8 A = 14.4 A on two; 3 x 0.9 x 8 A = 21.6 A on three
@pytest.mark.parametrize(("current_a", "outputs"), [(0.1, 1), (8.0, 1), (8.001, 2), (14.4, 2), (14.401, 3), (21.6, 3)])
def test_a_load_takes_the_least_number_of_outputs_that_carries_it(current_a: float, outputs: int) -> None:
    found = done(TRIPLE, (load(current_a=current_a), 1))
    assert (found.outputs, found.takes, found.wire_current_a) == (outputs, ((0, outputs),), current_a / outputs)


def test_what_all_the_outputs_together_do_not_carry_is_refused_with_the_amounts() -> None:
    reason, asked, limit = refused(TRIPLE, (load(current_a=21.7), 1))
    assert reason == "current over what the output carries after output_use"
    assert (asked, limit) == pytest.approx((21.7, 21.6))


def test_outputs_are_never_put_in_parallel_for_loads_that_share() -> None:
    reason, asked, limit = refused(TRIPLE, (load(current_a=5.0, share="lamps"), 2))
    assert (reason, asked, limit) == ("current over what the output carries after output_use", 10.0, 8.0)


def test_outputs_are_counted_with_the_whole_spread() -> None:
    assert done(TRIPLE, (load(current_a=7.0, spread=0.1), 1)).outputs == 1
    assert done(TRIPLE, (load(current_a=7.0, spread=0.2), 1)).outputs == 2


def test_a_hot_site_leaves_less_of_the_rating() -> None:
    hot = (Place(name="box"), Place(name="bench", ambient_c=70.0), Place(name="door"))
    assert done(TRIPLE, (load(current_a=6.0), 1), places=hot).outputs == 1
    assert done(TRIPLE, (load(current_a=6.001), 1), places=hot).outputs == 2


def test_too_few_outputs_of_the_class_are_refused_with_the_number() -> None:
    pair = replace(TRIPLE, pins=("A", "B"))
    assert refused(pair, (load(current_a=15.0), 1)) == ("too few outputs of the class", 3, 2)


# ---- bridge pairs ------------------------------------------------------------------------------------------------

BRIDGE = replace(TRIPLE, capabilities=("bridge",))


def test_a_bridge_takes_two_outputs_that_carry_all_of_the_current() -> None:
    found = done(BRIDGE, (load(current_a=6.0, needs=("bridge",)), 1))
    assert (found.outputs, found.bridge, found.wire_current_a, found.trip_a) == (2, True, 6.0, 7.5)


def test_a_bridge_is_not_carried_by_more_outputs_than_two() -> None:
    reason, asked, limit = refused(BRIDGE, (load(current_a=9.0, needs=("bridge",)), 1))
    assert (reason, asked, limit) == ("current over what the output carries after output_use", 9.0, 8.0)


def test_a_bridge_on_a_class_of_one_output_is_refused() -> None:
    single = replace(BRIDGE, pins=("A",))
    found = refused(single, (load(current_a=6.0, needs=("bridge",)), 1))
    assert found == ("too few outputs of the class", 2, 1)


# ---- trips -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("current_a", "trip_a"),
    [
        (4.0, 5.0),  # 1.25 x 4 A is a step itself
        (4.01, 5.5),  # 5.01 A, the next step up
        (8.0, 10.0),
        (12.0, 8.5),  # two outputs: 1.25 x 12 A / 1.8 = 8.33 A each
        (18.0, 8.5),  # three outputs: 1.25 x 18 A / 2.7 = 8.33 A each
    ],
)
def test_the_trip_is_the_least_step_over_its_share_of_the_load(current_a: float, trip_a: float) -> None:
    assert done(TRIPLE, (load(current_a=current_a), 1)).trip_a == trip_a


def test_the_trip_comes_out_of_the_list_where_there_is_one() -> None:
    listed = replace(TRIPLE, trip_step_a=None, trips_a=(7.5, 3.0, 5.0))
    assert done(listed, (load(current_a=4.0), 1)).trip_a == 5.0
    assert done(listed, (load(current_a=4.1), 1)).trip_a == 7.5


def test_no_setting_high_enough_is_refused_with_what_was_asked() -> None:
    listed = replace(TRIPLE, trip_step_a=None, trips_a=(3.0, 5.0))
    found = refused(listed, (load(current_a=5.0), 1))
    assert found == ("no trip setting between the load's current and the output's rating", 6.25, 10.0)


def test_a_trip_over_the_rating_at_a_hot_site_is_refused() -> None:
    hot = (Place(name="box"), Place(name="bench", ambient_c=70.0), Place(name="door"))
    coarse = replace(TRIPLE, trip_step_a=4.0)
    reason, asked, limit = refused(coarse, (load(current_a=5.0), 1), places=hot)
    assert (reason, asked, limit) == ("no trip setting between the load's current and the output's rating", 6.25, 7.5)


def test_a_trip_over_the_max_trip_of_a_load_is_refused() -> None:
    assert done(TRIPLE, (load(current_a=4.0, max_trip_a=5.0), 1)).trip_a == 5.0
    found = refused(TRIPLE, (load(current_a=4.0, max_trip_a=4.9), 1))
    assert found == ("trip over the max_trip of 'lamp'", 5.0, 4.9)


def test_the_max_trip_holds_for_all_outputs_in_parallel_together() -> None:
    assert done(TRIPLE, (load(current_a=12.0, max_trip_a=17.0), 1)).outputs == 2
    found = refused(TRIPLE, (load(current_a=12.0, max_trip_a=16.9), 1))
    assert found == ("trip over the max_trip of 'lamp'", 17.0, 16.9)


def test_a_trip_that_is_not_below_the_stall_current_is_refused() -> None:
    assert done(TRIPLE, (load(current_a=4.0, stall_a=5.1), 1)).trip_a == 5.0
    found = refused(TRIPLE, (load(current_a=4.0, stall_a=5.0), 1))
    assert found == ("trip not below the stall current of 'lamp'", 5.0, 5.0)


def test_the_trip_of_a_shared_output_serves_the_sum_and_every_load() -> None:
    lamp, weak = load(current_a=2.0, share="x"), load("weak", current_a=1.0, share="x", max_trip_a=4.0)
    assert done(TRIPLE, (lamp, 1), (replace(weak, max_trip_a=6.5), 3)).trip_a == 6.5
    found = refused(TRIPLE, (lamp, 1), (weak, 3))
    assert found == ("trip over the max_trip of 'weak'", 6.5, 4.0)


# ---- what a class is not for -------------------------------------------------------------------------------------


def test_a_capability_that_is_missing_is_named() -> None:
    able = replace(TRIPLE, capabilities=("dim",))
    asked = load(needs=("dim", "fast"))
    kind = unit_type(able, output("other", pins=("Z",), capabilities=("dim", "fast")))
    found = problem(unit_types=(kind,), loads=(asked,))
    refusal = job_for(found, [(asked, 1)], slot_of(found), 0)
    assert isinstance(refusal, Refusal)
    assert (refusal.reason, refusal.loads) == ("class 'light' lacks 'fast'", ("lamp",))
    assert isinstance(job_for(found, [(asked, 1)], slot_of(found), 1), Job)


def test_a_pinned_output_serves_its_load_and_nobody_else() -> None:
    pinned, other = load(unit="front", output="B"), load("pump")
    asked = machine(loads=(pinned, other))
    slot = slot_of(asked)
    assert [(group.pins, group.pinned) for group in slot.classes] == [(("A", "C"), False), (("B",), True)]
    at_rest, at_pin = (job_for(asked, [(pinned, 1)], slot, number) for number in (0, 1))
    assert isinstance(at_rest, Refusal)
    assert at_rest.reason == "'lamp' is pinned to output 'B'"
    assert isinstance(at_pin, Job)
    kept = job_for(asked, [(other, 1)], slot, 1)
    assert isinstance(kept, Refusal)
    assert kept.reason == "output 'B' is kept for the load pinned to it"


def test_the_mates_of_a_pinned_output_come_from_the_rest_of_its_class() -> None:
    pinned = load(current_a=12.0, unit="front", output="B")
    asked = machine(loads=(pinned,))
    found = job_for(asked, [(pinned, 1)], slot_of(asked), 1)
    assert isinstance(found, Job)
    assert found.takes == ((1, 1), (0, 1))


def test_a_load_pinned_to_a_unit_has_nothing_to_do_with_another() -> None:
    asked = machine(loads=(load(),))
    elsewhere = load(unit="rear")
    refusal = job_for(asked, [(elsewhere, 1)], slot_of(asked), 0)
    assert isinstance(refusal, Refusal)
    assert refusal.reason == "'lamp' is pinned to unit 'rear'"


# ---- starts and short circuits -----------------------------------------------------------------------------------

PEAKED = replace(TRIPLE, peaks=((40.0, 0.1), (20.0, 1.0)))


@pytest.mark.parametrize(
    ("inrush_a", "seconds", "stood"),
    [
        (40.0, 0.1, True),
        (40.1, 0.1, False),
        (20.0, 0.2, True),
        (20.1, 0.2, False),
        (10.0, 5.0, True),
        (10.1, 5.0, False),
    ],
)
def test_a_start_stays_below_the_peak_that_lasts_as_long(inrush_a: float, seconds: float, stood: bool) -> None:
    found = job(PEAKED, (load(current_a=4.0, inrush_a=inrush_a, inrush_s=seconds), 1))
    assert isinstance(found, Job) is stood
    if isinstance(found, Refusal):
        assert found.reason == "start current above what the output withstands for that long"
        assert found.asked == pytest.approx(inrush_a)
        assert found.limit == {0.1: 40.0, 0.2: 20.0, 5.0: 10.0}[seconds]


def test_starts_of_loads_that_share_an_output_add_up() -> None:
    quick = load(current_a=1.0, inrush_a=19.0, inrush_s=0.1, share="x")
    steady = load("steady", current_a=2.0, share="x")
    slot = slot_of(machine(PEAKED, loads=(quick, steady)))
    assert hardest_start([(quick, 2), (steady, 1)], slot.classes[0], 1.0) is None
    assert hardest_start([(quick, 2), (steady, 2)], slot.classes[0], 1.0) == (42.0, 40.0)


def test_outputs_in_parallel_share_a_start() -> None:
    big = load(current_a=12.0, inrush_a=72.0, inrush_s=0.1)
    assert done(PEAKED, (big, 1)).outputs == 2
    reason, asked, limit = refused(PEAKED, (replace(big, inrush_a=72.1), 1))
    assert reason.startswith("start current")
    assert (asked, limit) == pytest.approx((72.1, 72.0))


def test_a_short_circuit_lets_the_worst_peak_through_in_every_try() -> None:
    # 40 A for 0.1 s: 160 A2 s; 20 A for 1 s: 400 A2 s; once and twice again
    assert let_through_a2s(replace(PEAKED, retries=2)) == pytest.approx(1200.0)
    assert let_through_a2s(TRIPLE) == 0.0


def test_all_that_flows_before_the_last_output_trips_returns_in_one_wire() -> None:
    heater = load(current_a=12.0)
    found = done(replace(PEAKED, retries=2), (heater, 1))
    assert (found.outgoing.trip_a, found.outgoing.let_through_a2s) == pytest.approx((8.5, 1200.0))
    back = found.returning(heater)
    assert (back.current_a, back.trip_a, back.let_through_a2s) == pytest.approx((12.0, 17.0, 4800.0))
