"""What would let a load be fed that nothing can feed: a change for each reason of a near miss."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from math import ceil

from allocator.changes.change import ProblemChange
from allocator.changes.of_loads import added_contacts, all_sizes, of_loads, without_need
from allocator.changes.of_units import more_outputs, output_class
from allocator.infeasibility.knobs import up_a
from allocator.options import LoadGroup, OptionList, Refusal, SlotClass, Why
from allocator.problem import ContactSet, Load, OutputClass, Problem, UnitType
from allocator.problem.as_written import amperes, figure, named
from allocator.problem.bounds import MOST_TRIP_SETTINGS
from allocator.wiring import trip_settings

MORE_CONTACTS = 2


@dataclass(frozen=True, slots=True)
class Miss:
    """A near miss: loads of one group, the class that refused them, and why."""

    problem: Problem
    group: LoadGroup
    own: SlotClass
    unit_type: UnitType
    refusal: Refusal
    site: str

    @property
    def load(self) -> Load:
        """Any one of the loads."""
        return self.group.sample

    @property
    def names(self) -> tuple[str, ...]:
        """Names of the loads."""
        return tuple(load.name for load in self.group.loads)

    @property
    def output(self) -> OutputClass:
        """The class as the problem has it."""
        return self.own.output

    @property
    def hot(self) -> float:
        """Share of the ratings that is left at the site."""
        return self.own.rating_a / self.output.continuous_a

    def of_class(self, field: str, before: str, after: str, words: str, **values: object) -> ProblemChange:
        """A change of the class that refused. Parameters as of `output_class`."""
        return output_class(self.unit_type, self.output, field, before, after, words, **values)


def misses_of(option_list: OptionList, problem: Problem, group: LoadGroup) -> list[Miss]:
    """Refusals of a group, those that come nearest first, one for each class of each type and reason."""
    found: dict[object, Miss] = {}
    for refusal in sorted(option_list.refusals, key=lambda refusal: refusal.distance):
        if refusal.loads == (group.sample.name,):
            slot = option_list.slots[refusal.slot]
            own = slot.classes[refusal.slot_class]
            key = (slot.unit.type, own.output.name, own.output.bank, refusal.why, refusal.names)
            own_type = problem.unit_type[slot.unit.type]
            found.setdefault(key, Miss(problem, group, own, own_type, refusal, slot.site))
    return list(found.values())


def repairs(miss: Miss) -> Iterator[ProblemChange]:
    """Changes of which each alone takes a reason away, the plainest first."""
    reader = _READERS.get(miss.refusal.why)
    if reader is not None:
        yield from reader(miss)


def _current(miss: Miss) -> Iterator[ProblemChange]:
    asked, carries = miss.refusal.asked or 0.0, miss.refusal.limit or 1.0
    output = miss.output
    single = miss.own.rating_a * miss.problem.margins.output_use * output.parallel_use
    needed = ceil(asked / single - 1e-9) if single > 0 else 99
    if not miss.load.bridge and output.parallel < needed <= min(len(miss.own.pins), output.parallel + 2):
        words = f"of which {needed} outputs of class '{output.name}' may feed one load in parallel"
        yield miss.of_class("parallel", str(output.parallel), str(needed), words, parallel=needed)
    yield _rated(miss, up_a(output.continuous_a * asked / carries, 0.5))


def _rated(miss: Miss, continuous_a: float) -> ProblemChange:
    output = miss.output
    words = f"whose outputs of class '{output.name}' carry {amperes(continuous_a)}, not {amperes(output.continuous_a)}"
    peaks = tuple((max(a, continuous_a), s) for a, s in output.peaks)
    return miss.of_class(
        "continuous", amperes(output.continuous_a), amperes(continuous_a), words, continuous_a=continuous_a, peaks=peaks
    )


def _outputs(miss: Miss) -> Iterator[ProblemChange]:
    more = int((miss.refusal.asked or 0) - (miss.refusal.limit or 0))
    if not miss.own.pinned and more > 0:
        yield more_outputs(miss.unit_type, miss.output, more)


def _no_trip(miss: Miss) -> Iterator[ProblemChange]:
    asked, rating = miss.refusal.asked or 0.0, miss.own.rating_a
    if asked > rating * (1.0 + 1e-9):
        yield _rated(miss, up_a(asked / miss.hot, 0.5))
        return
    yield from _trip_between(miss, asked, rating)


def _trip_between(miss: Miss, least_a: float, most_a: float) -> Iterator[ProblemChange]:
    """A trip setting in a range, or the step that makes one."""
    output = miss.output
    setting = next((x for x in (up_a(least_a, 0.5), up_a(least_a, 0.1)) if x <= most_a * (1.0 + 1e-9)), None)
    if setting is None:
        return
    if output.trip_step_a is None:
        trips = tuple(sorted((*output.trips_a, setting)))
        before = ", ".join(amperes(x) for x in output.trips_a)
        words = f"whose outputs of class '{output.name}' can be set to trip at {amperes(setting)}"
        yield miss.of_class("trips", before, ", ".join(amperes(x) for x in trips), words, trips_a=trips)
        return
    step = output.trip_step_a
    for finer in (step / 2, step / 4, step / 5, step / 10):
        if output.continuous_a / MOST_TRIP_SETTINGS > round(finer, 6):
            return
        changed = replace(output, trip_step_a=round(finer, 6))
        if any(least_a <= x * (1.0 + 1e-9) and x <= most_a * (1.0 + 1e-9) for x in trip_settings(changed)):
            words = f"whose outputs of class '{output.name}' trip in steps of {amperes(finer)}, not {amperes(step)}"
            yield miss.of_class("trip_step", amperes(step), amperes(finer), words, trip_step_a=round(finer, 6))
            return


def _over_max_trip(miss: Miss) -> Iterator[ProblemChange]:
    load, limit, asked = miss.load, miss.refusal.limit or 0.0, miss.refusal.asked or 0.0
    needed = miss.problem.margins.trip * load.full_current_a
    if needed <= limit:
        yield from _trip_between(miss, needed, limit)
    before, after = amperes(limit), amperes(asked)
    words = f"let {named(miss.names)} be protected at {after}, not {before}, if its maker allows that"
    yield of_loads(miss.names, "max_trip", before, after, words, max_trip_a=asked)


def _over_stall(miss: Miss) -> Iterator[ProblemChange]:
    needed = miss.problem.margins.trip * miss.load.full_current_a
    limit = (miss.refusal.limit or 0.0) * 0.999
    if needed <= limit:
        yield from _trip_between(miss, needed, limit)


def _start(miss: Miss) -> Iterator[ProblemChange]:
    load, output = miss.load, miss.output
    seconds = load.inrush_s or max((s for _, s in output.peaks), default=1.0)
    asked, allowed = miss.refusal.asked or 0.0, miss.refusal.limit or 1.0
    base = max([output.continuous_a, *(a for a, s in output.peaks if s >= seconds * (1.0 - 1e-9))])
    peak = up_a(base * asked / allowed, 0.5)
    peaks = tuple((max(a, peak) if s <= seconds else a, s) for a, s in output.peaks)
    if not any(s >= seconds * (1.0 - 1e-9) and a >= peak for a, s in peaks):
        peaks = tuple(sorted((*peaks, (peak, seconds)), key=lambda p: p[1]))
    words = f"whose outputs of class '{output.name}' withstand {amperes(peak)} for {figure(seconds)} s"
    yield miss.of_class("peaks", _peaks(output.peaks), _peaks(peaks), words, peaks=peaks)


def _peaks(peaks: tuple[tuple[float, float], ...]) -> str:
    return ", ".join(f"{amperes(a)} for {figure(s)} s" for a, s in peaks)


def _terminal(miss: Miss) -> Iterator[ProblemChange]:
    low, high = miss.output.wire_mm2
    asked = miss.refusal.asked or 0.0
    if asked > high:
        yield _accepting(miss, (low, asked))
    elif asked < low:
        yield _accepting(miss, (asked, high))


def _accepting(miss: Miss, wire_mm2: tuple[float, float]) -> ProblemChange:
    (low, high), (least, most) = miss.output.wire_mm2, wire_mm2
    words = (
        f"whose terminals of class '{miss.output.name}' take {figure(least)} to {figure(most)} mm2, "
        f"not {figure(low)} to {figure(high)} mm2"
    )
    before, after = f"{figure(low)} to {figure(high)} mm2", f"{figure(least)} to {figure(most)} mm2"
    return miss.of_class("wire", before, after, words, wire_mm2=wire_mm2)


def _no_wire(miss: Miss) -> Iterator[ProblemChange]:
    if miss.problem.wire_rules.sizes:
        yield all_sizes(miss.problem)
    for bulkhead in miss.problem.bulkheads:
        sizes = [w.area_mm2 for w in miss.problem.wires.wires]
        low, high = miss.output.wire_mm2
        taken = [a for a in sizes if low * 0.995 <= a <= high * 1.005]
        if taken:
            yield added_contacts(
                bulkhead.name, ContactSet(count=MORE_CONTACTS * len(miss.names), wire_mm2=(min(taken), max(taken)))
            )


def _drop(miss: Miss) -> Iterator[ProblemChange]:
    """A larger drop for the load; where ``min_volts`` asks for less drop, lower volts."""
    problem, load, asked = miss.problem, miss.load, (miss.refusal.asked or 0.0) * (1.0 + 1e-6)
    share = problem.margins.branch_drop if load.max_drop is None else load.max_drop
    fields, values, before, after = [], {}, [], []
    words = []
    if asked > share * problem.running_v:
        larger = ceil(1000.0 * asked / problem.running_v) / 1000.0
        if larger > 1.0:
            return
        fields.append("max_drop")
        before.append(f"{figure(100 * share)} %")
        after.append(f"{figure(100 * larger)} %")
        values["max_drop"] = larger
        words.append(f"lose {figure(100 * larger)} % on its wires, not {figure(100 * share)} %")
    if load.min_volts_v is not None:
        left = problem.lowest_v - problem.margins.feed_drop * problem.running_v - asked
        if left < load.min_volts_v:
            lower = int(10.0 * left) / 10.0
            if lower <= 0.0:
                return
            fields.append("min_volts")
            before.append(f"{figure(load.min_volts_v)} V")
            after.append(f"{figure(lower)} V")
            values["min_volts_v"] = lower
            words.append(f"do with {figure(lower)} V, not {figure(load.min_volts_v)} V")
    if fields:
        text = f"let {named(miss.names)} {' and '.join(words)}"
        yield of_loads(miss.names, ", ".join(fields), ", ".join(before), ", ".join(after), text, **values)
    if problem.wire_rules.sizes:
        yield all_sizes(problem)
    heaviest = max(w.area_mm2 for w in problem.wires.wires)
    low, high = miss.output.wire_mm2
    for area in sorted({w.area_mm2 for w in problem.wires.wires if high * 1.005 < w.area_mm2 <= heaviest}):
        yield _accepting(miss, (low, area))


def _lacks(miss: Miss) -> Iterator[ProblemChange]:
    need = next((n for n in miss.load.needs if n not in miss.output.capabilities), None)
    if need is not None:
        before = ";".join(miss.output.capabilities)
        able = (*miss.output.capabilities, need)
        words = f"whose outputs of class '{miss.output.name}' can '{need}'"
        yield miss.of_class("capabilities", before, ";".join(able), words, capabilities=able)
        yield without_need(miss.problem, miss.names, need)


_READERS: dict[Why, Callable[[Miss], Iterator[ProblemChange]]] = {
    Why.CURRENT: _current,
    Why.OUTPUTS: _outputs,
    Why.NO_TRIP: _no_trip,
    Why.MAX_TRIP: _over_max_trip,
    Why.STALL: _over_stall,
    Why.START: _start,
    Why.TERMINAL: _terminal,
    Why.NO_WIRE: _no_wire,
    Why.NO_RETURN: _no_wire,
    Why.DROP: _drop,
    Why.CAPABILITY: _lacks,
}
