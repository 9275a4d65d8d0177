"""What may still be added to a layout: amperes per unit, bank and condition, outputs, and the largest single load."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from allocator.analysis.larger_after_revision import Enlarged, enlarged
from allocator.analysis.largest_load import STEP_A, LargestLoad, largest_loads
from allocator.checking import Report, check
from allocator.clock import until
from allocator.evaluation.branches import Mounted
from allocator.evaluation.context import Context
from allocator.evaluation.laid_conductors import Conductor
from allocator.evaluation.least_fuses import starts
from allocator.layout import Layout
from allocator.notebook import shown
from allocator.problem import Problem
from allocator.search.stopwatch import Stopped, Stopwatch, Told
from allocator.table import Cell, Table, columns_of, count, keyed, table_of
from allocator.wiring import fuse_stands_a

if TYPE_CHECKING:
    from pandas import DataFrame

RATING, FUSE, START, DROP, NO_FEED = "rating", "feed fuse", "start behind the feed fuse", "feed drop", "no feed"


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitHeadroom:
    """Amperes that may be added to one unit (``bank`` None), or one of its banks, in one condition.

    ``current_a`` is drawn already, with the ``robust`` largest spreads; ``kept_a`` is the reserve, which stays.
    ``room_a`` is what is left under the limit that comes first, ``held_by``; of a bank never more than of its
    unit. It is below 0 where a limit is passed already.
    """

    unit: str
    site: str
    bank: str | None
    condition: str
    current_a: float
    kept_a: float
    room_a: float
    held_by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FreeOutputs:
    """Outputs of one class and bank that feed nothing: those kept spare, and the others, which may be used.

    ``each_a`` is what one of them may carry: rating at the site x ``output_use``.
    """

    unit: str
    site: str
    bank: str | None
    output_class: str
    free: int
    spare: int
    each_a: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Headroom:
    """What may still be added to a layout; ``largest`` holds one entry a place.

    ``enlarged``, where it was asked for, tells of the same places how large the load may be where circuits may move;
    a place is missing there if the time was up.
    """

    rooms: tuple[UnitHeadroom, ...]
    outputs: tuple[FreeOutputs, ...]
    largest: tuple[LargestLoad, ...]
    enlarged: tuple[Enlarged, ...] = ()

    def _repr_html_(self) -> str:
        largest = [(f"at most at {one.place}", f"{one.current_a:g} A") for one in self.largest]
        return shown("What may still be added", largest, self.table())

    def table(self) -> Table:
        """One row per unit or bank, and condition; columns as in `Room`."""
        return table_of(columns_of(UnitHeadroom), self.rooms)

    def frame(self) -> DataFrame:
        """The same for pandas."""
        return self.table().frame()

    def output_frame(self) -> DataFrame:
        """One row per unit, bank and class; columns as in `FreeOutputs`."""
        return table_of(columns_of(FreeOutputs), self.outputs).frame()

    def largest_frame(self) -> DataFrame:
        """One row per place, with the outputs and sizes of the circuit that would feed the load."""
        columns = keyed("place", "current_a", "step_a", "return_to", "unit", "pins", "sizes", "stopped_by")
        rows = tuple(
            (
                one.place,
                one.current_a,
                one.step_a,
                one.return_to,
                None if one.circuit is None else one.circuit.unit,
                "" if one.circuit is None else "; ".join(one.circuit.pins),
                "" if one.circuit is None else "; ".join(dict.fromkeys(wire.size for wire in one.circuit.wires)),
                "; ".join(one.stopped_by),
            )
            for one in self.largest
        )
        return Table(columns=columns, rows=rows).frame()

    def enlarged_frame(self) -> DataFrame:
        """One row per place: the load that a revision makes room for (0 A: no larger one), its moves and new copper."""
        columns = (*keyed("place", "current_a"), count("moves"), *keyed("new_copper_g", "tried"))
        return Table(columns=columns, rows=tuple(tuple(enlarged_data(one).values()) for one in self.enlarged)).frame()


def enlarged_data(one: Enlarged) -> dict[str, Cell]:
    """What a revision makes room for at a place, as plain data."""
    return {
        "place": one.place,
        "current_a": one.current_a,
        "moves": None if one.revision is None else one.revision.moves,
        "new_copper_g": None if one.revision is None else one.revision.new_copper_g,
        "tried": one.tried,
    }


def headroom(
    problem: Problem,
    layout: Layout,
    places: Sequence[str] | None = None,
    step_a: float = STEP_A,
    *,
    moves: bool = False,
    time_limit_s: float | None = None,
    progress: Told | None = None,
    stopped: Stopped | None = None,
    report: Report | None = None,
) -> Headroom:
    """What may still be added to a layout, without a change to anything that is in it; with ``moves`` after one too.

    Parameters
    ----------
    places
        Where to try the largest single load; the sites of the fitted units if None.
    step_a
        Steps in which its current is tried.
    moves
        Whether to look for larger ones that fit once circuits are moved; units stay at their sites. The problem is
        solved again some times for each place.
    time_limit_s, progress, stopped
        For that: its seconds, None for no limit; told what is being tried; asked whether to end with what is found.
    report
        That of the layout's check, where it is at hand: then the layout is not checked again.

    Raises
    ------
    ValueError
        When the problem has no such place, or the step is not above 0.
    """
    report = check(problem, layout) if report is None else report
    context = report.context
    if places is None:
        places = tuple(dict.fromkeys(mounted.site.name for mounted in context.mounted.values()))
    rooms = rooms_of(context)
    allowed = {
        key: min(room.room_a for room in rooms if (room.unit, room.bank) == key)
        for key in dict.fromkeys((room.unit, room.bank) for room in rooms)
    }
    outputs = free_outputs(context)
    unused = {(one.unit, one.bank, one.output_class): one.free - one.spare for one in outputs}
    largest = largest_loads(report, places, step_a, allowed, unused)
    larger: tuple[Enlarged, ...] = ()
    if moves:
        with until(time_limit_s):
            larger = tuple(enlarged(problem, context.layout, largest, Stopwatch(time_limit_s, progress, stopped)))
    return Headroom(rooms=rooms, outputs=outputs, largest=largest, enlarged=larger)


def rooms_of(context: Context) -> tuple[UnitHeadroom, ...]:
    """Room of every mounted unit, each followed by its banks, in every condition."""
    return tuple(room for mounted in context.mounted.values() for room in _rooms(context, mounted))


def _rooms(context: Context, mounted: Mounted) -> Iterator[UnitHeadroom]:
    circuits = context.on_unit(mounted.name)
    share = mounted.hot * context.problem.margins.unit_use
    kept = mounted.unit.spare_current_a
    feed = context.feeds.get(mounted.name)
    for m, condition in enumerate(context.problem.conditions):
        current = context.heating_a(circuits, m)
        rated = (mounted.type.continuous_a * share - kept - current, RATING)
        room, held_by = min(rated, *_of_feed(context, mounted, feed, kept + current, condition))
        own = {"unit": mounted.name, "site": mounted.site.name, "condition": condition}
        yield UnitHeadroom(**own, bank=None, current_a=current, kept_a=kept, room_a=room, held_by=held_by)
        for bank in mounted.type.banks:
            there = context.heating_a(tuple(fed for fed in circuits if bank.name in fed.banks), m)
            left, why = min((bank.continuous_a * share - there, RATING), (room, f"unit {mounted.name}, {held_by}"))
            yield UnitHeadroom(**own, bank=bank.name, current_a=there, kept_a=0.0, room_a=left, held_by=why)


def _of_feed(
    context: Context, mounted: Mounted, feed: Conductor | None, used_a: float, condition: str
) -> Iterator[tuple[float, str]]:
    """What a feed leaves: by its fuse, by its drop, and by what the fuse stands at every start behind it."""
    if feed is None or feed.guard_a is None:
        yield -used_a, NO_FEED
        return
    yield context.problem.margins.fuse_use * feed.guard_a - used_a, f"{FUSE} of {feed.guard_a:g} A"
    if feed.drop_v is not None:
        limit_v = context.problem.margins.feed_drop * context.problem.running_v
        yield _current_at(feed, limit_v) - used_a, DROP
    for start in starts(context, mounted):
        if start.condition == condition:
            yield fuse_stands_a(feed.guard_a, start.seconds) - start.current_a, f"{START}: {start.load}"


def _current_at(feed: Conductor, limit_v: float) -> float:
    """The current at which a feed loses a limit, by halving: its resistance rises with the current."""
    low, high = 0.0, 2.0 * (feed.guard_a or 0.0)
    for _ in range(60):
        middle = (low + high) / 2.0
        lost = replace(feed, current_a=middle).drop_v
        low, high = (middle, high) if lost is not None and lost <= limit_v else (low, middle)
    return low


def free_outputs(context: Context) -> tuple[FreeOutputs, ...]:
    """Outputs of every mounted unit that feed nothing, by class and bank; classes without any too."""
    found = []
    for mounted in context.mounted.values():
        used = {pin for fed in context.on_unit(mounted.name) for pin in fed.circuit.pins}
        kept = _kept(mounted, used)
        for output in mounted.type.outputs:
            found.append(
                FreeOutputs(
                    unit=mounted.name,
                    site=mounted.site.name,
                    bank=output.bank,
                    output_class=output.name,
                    free=sum(pin not in used for pin in output.pins),
                    spare=kept[output.name, output.bank],
                    each_a=output.continuous_a * mounted.hot * context.problem.margins.output_use,
                )
            )
    return tuple(found)


def _kept(mounted: Mounted, used: set[str]) -> Counter[tuple[str, str | None]]:
    """Spare outputs by class and bank; those of which the layout names no bank in the first banks with room."""
    kept: Counter[tuple[str, str | None]] = Counter()
    for name, bank, spare in mounted.stated.spare:
        left = spare
        for output in mounted.type.outputs:
            if output.name == name and bank in (None, output.bank):
                room = sum(pin not in used for pin in output.pins) - kept[name, output.bank]
                taken = max(0, min(left, room))
                kept[name, output.bank] += taken
                left -= taken
    return kept
