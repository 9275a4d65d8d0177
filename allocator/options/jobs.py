"""What outputs of one class would have to do for a circuit: how many, at which trip; or why they cannot."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from allocator.options.conductor_option import Duty
from allocator.options.refusals import Refusal, Why
from allocator.options.slots import Slot, SlotClass
from allocator.problem import Load, OutputClass, Problem
from allocator.wiring import least_trip

SLACK = 1.0 + 1e-9


@dataclass(frozen=True, slots=True)
class Job:
    """Outputs of a class at work: how many in all, how they share the current, and the trip of each.

    ``trip_a`` is the setting of each output, ``wire_mm2`` the range that the terminal accepts, ``takes`` holds
    (class of the slot, outputs taken from it). ``shares``: what flows in each condition, as shares of ``current_a``.
    """

    slot_class: int
    outputs: int
    bridge: bool
    current_a: float
    trip_a: float
    wire_mm2: tuple[float, float]
    takes: tuple[tuple[int, int], ...]
    let_through_a2s: float = 0.0
    shares: tuple[float, ...] = ()

    @property
    def share(self) -> int:
        """Outputs that share the current: 1 for a bridge pair, where each carries all of it."""
        return 1 if self.bridge else self.outputs

    @property
    def wire_current_a(self) -> float:
        """Current of each outgoing wire."""
        return self.current_a / self.share

    @property
    def outgoing(self) -> Duty:
        """What each outgoing wire has to carry."""
        return Duty(self.wire_current_a, self.trip_a, self.let_through_a2s, self.shares)

    def returning(self, load: Load) -> Duty:
        """What the return wire of a load has to carry: all that flows before every output has tripped."""
        let_through = self.let_through_a2s * self.share**2
        return Duty(load.full_current_a, self.trip_a * self.share, let_through, shares_of([(load, 1)]))


def job_for(problem: Problem, loads: Sequence[tuple[Load, int]], slot: Slot, number: int) -> Job | Refusal:
    """The job of a class of outputs for a circuit, or a refusal.

    Parameters
    ----------
    problem
        The problem with its margins.
    loads
        Loads of the circuit, each with how many of it there are.
    slot
        The unit at its site.
    number
        Index of the class in the slot.
    """
    group = slot.classes[number]
    names = tuple(load.name for load, _ in loads)

    def refuse(why: Why, *named: str, asked: float, limit: float, unit: str = "A") -> Refusal:
        return Refusal(names, slot.index, number, why, named, asked, limit, unit)

    misfit = _misfit(loads, slot, group)
    if misfit is not None:
        why, *named = misfit
        return Refusal(names, slot.index, number, why, tuple(named))
    current = sum(load.full_current_a * count for load, count in loads)
    bridge = any(load.bridge for load, _ in loads)
    single = len(loads) == 1 and loads[0][1] == 1
    share = _least_share(
        group, current, problem.margins.output_use, 1 if bridge or not single else group.output.parallel
    )
    if share is None:
        most = max(1, 1 if bridge or not single else group.output.parallel)
        use = group.rating_a * problem.margins.output_use
        carries = use if most == 1 else most * group.output.parallel_use * use
        return refuse(Why.CURRENT, asked=current, limit=carries)
    outputs = 2 if bridge else share
    takes = _takes(slot, number, outputs)
    if takes is None:
        return refuse(Why.OUTPUTS, asked=outputs, limit=len(group.pins), unit="outputs")
    even = share * (group.output.parallel_use if share > 1 else 1.0)
    asked = problem.margins.trip * current / even
    trip = least_trip(group.output, asked)
    if trip is None or trip > group.rating_a * SLACK:
        return refuse(Why.NO_TRIP, asked=asked, limit=group.rating_a)
    for load, _ in loads:
        if load.max_trip_a is not None and share * trip > load.max_trip_a * SLACK:
            return refuse(Why.MAX_TRIP, load.name, asked=share * trip, limit=load.max_trip_a)
        if load.stall_a is not None and share * trip >= load.stall_a * (1.0 - 1e-9):
            return refuse(Why.STALL, load.name, asked=share * trip, limit=load.stall_a)
    start = hardest_start(loads, group, even)
    if start is not None:
        return refuse(Why.START, asked=start[0], limit=start[1])
    heat = let_through_a2s(group.output)
    return Job(number, outputs, bridge, current, trip, group.output.wire_mm2, takes, heat, shares_of(loads))


def shares_of(loads: Sequence[tuple[Load, int]]) -> tuple[float, ...]:
    """What loads carry together in each condition, with their full spread, as shares of their full current."""
    full = sum(load.full_current_a * count for load, count in loads)
    conditions = range(len(loads[0][0].levels))
    heating = (sum(load.full_current_a * load.heating(m) * count for load, count in loads) for m in conditions)
    return tuple(current / full if full > 0.0 else 0.0 for current in heating)


def let_through_a2s(output: OutputClass) -> float:
    """Heat that an output lets through in a short circuit, in A2 s: its worst peak, in the first try and every retry.

    0 where no peaks are given: nothing is known then.
    """
    return (1 + output.retries) * max((a * a * s for a, s in output.peaks), default=0.0)


def hardest_start(loads: Sequence[tuple[Load, int]], group: SlotClass, even: float) -> tuple[float, float] | None:
    """The start that asks more of an output than it withstands, as (asked, allowed) amperes; None if it withstands all.

    All loads of a circuit are taken to start at once; ``even`` is the number of outputs that share evenly.
    """
    longest = max((seconds for _, seconds in group.output.peaks), default=0.0)
    starting = [(load, n, longest if load.inrush_s is None else load.inrush_s) for load, n in loads]
    hot = group.rating_a / group.output.continuous_a
    for duration in sorted({t for load, _, t in starting if load.inrush_a is not None}):
        asked = sum(
            n * (load.inrush_a if load.inrush_a is not None and t >= duration else load.full_current_a)
            for load, n, t in starting
        )
        stood = [a * hot for a, seconds in group.output.peaks if seconds >= duration * (1.0 - 1e-9)]
        allowed = even * max([group.rating_a, *stood])
        if asked > allowed * SLACK:
            return asked, allowed
    return None


def _misfit(loads: Sequence[tuple[Load, int]], slot: Slot, group: SlotClass) -> tuple[Why, *tuple[str, ...]] | None:
    """Why the class is ruled out from the start: another unit or output is pinned, or a capability is missing."""
    for load, _ in loads:
        if load.unit is not None and load.unit != slot.unit.name:
            return Why.OTHER_UNIT, load.name, load.unit
        if load.output is not None and not (group.pinned and load.output in group.pins):
            return Why.OTHER_OUTPUT, load.name, load.output
        missing = [need for need in load.needs if need not in group.output.capabilities]
        if missing:
            return Why.CAPABILITY, group.output.name, missing[0]
    if group.pinned and not any(load.output in group.pins for load, _ in loads):
        return Why.KEPT_FOR_ANOTHER, group.pins[0]
    return None


def _least_share(group: SlotClass, current_a: float, output_use: float, most: int) -> int | None:
    """Least number of outputs in parallel that carries a current; None where even ``most`` do not."""
    for share in range(1, max(1, most) + 1):
        even = share * (group.output.parallel_use if share > 1 else 1.0)
        if current_a <= even * group.rating_a * output_use * SLACK:
            return share
    return None


def _takes(slot: Slot, number: int, outputs: int) -> tuple[tuple[int, int], ...] | None:
    """Outputs taken from each class; the mates of a pinned output come from the rest of its class and bank."""
    group = slot.classes[number]
    if len(group.pins) >= outputs:
        return ((number, outputs),)
    if not group.pinned:
        return None
    for mate, other in enumerate(slot.classes):
        if other.output is group.output and not other.pinned and len(other.pins) >= outputs - 1:
            return ((number, 1), (mate, outputs - 1))
    return None
