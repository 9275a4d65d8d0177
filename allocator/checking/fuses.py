"""Rules on fuses: those of feeds and those of direct loads."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from allocator.checking.report import Breach, number
from allocator.evaluation.context import Context
from allocator.evaluation.least_fuses import Start, direct_fuse, feed_fuse, own_start, starts
from allocator.evaluation.tolerance import RELATIVE, excess
from allocator.wiring import fuse_stands_a, standard_fuses


class Fused(NamedTuple):
    """What sits behind a fuse, the fuse it has, the least standard one that is enough, and the starts behind it."""

    label: str
    current_a: float
    fuse_a: float | None
    least_a: float | None
    begun: tuple[Start, ...] = ()


def standard_fuse(context: Context) -> Iterator[Breach]:
    """A feed, and a direct load, has a fuse of a standard rating."""
    fuses = standard_fuses()
    top = max(fuses)
    for label, current, fuse, _, begun in _fused(context):
        if fuse is None:
            over = current - context.problem.margins.fuse_use * top
            over = max([over, *(start.current_a - fuse_stands_a(top, start.seconds) for start in begun)])
            behind = " and the starts behind it" if begun else ""
            yield Breach(label, over, "A", f"{label} has no fuse, and none is for {number(current)} A{behind}")
            continue
        off = min(abs(fuse - standard) for standard in fuses)
        if not off <= RELATIVE * top:  # written so that NaN is not a standard fuse
            text = f"{label} has a fuse of {number(fuse)} A, {number(off)} A from a standard one"
            yield Breach(label, off, "A", text)


def fuse_use(context: Context) -> Iterator[Breach]:
    """``current <= fuse_use fuse``: of a feed in the worst condition, with the current kept spare."""
    for label, current, fuse, _, _ in _fused(context):
        if fuse is None:
            continue
        limit = context.problem.margins.fuse_use * fuse
        over = excess(current, limit)
        if over > 0.0:
            text = (
                f"{label} carries {number(current)} A, {number(over)} A over the "
                f"{number(limit)} A that its fuse of {number(fuse)} A is used for"
            )
            yield Breach(label, over, "A", text)


def least_fuse(context: Context) -> Iterator[Breach]:
    """The fuse is the least standard one that is enough, no larger."""
    for label, _, fuse, least, _ in _fused(context):
        if fuse is None or least is None:
            continue
        over = excess(fuse, least)
        if over > 0.0:
            text = f"{label} has a fuse of {number(fuse)} A where {number(least)} A is enough"
            yield Breach(label, over, "A", text)


def feed_start(context: Context) -> Iterator[Breach]:
    """The fuse of a feed stands the start of each load in every condition in which the load is on."""
    for name, unit in context.mounted.items():
        fuse = unit.stated.feed.fuse_a if unit.stated.feed is not None else None
        if fuse is None:
            continue
        for start in starts(context, unit):
            over = excess(start.current_a, fuse_stands_a(fuse, start.seconds))
            if over > 0.0:
                text = (
                    f"feed of unit {name} carries {number(start.current_a)} A in {start.condition} while load "
                    f"{start.load} starts, {number(over)} A more than its fuse of {number(fuse)} A withstands for "
                    f"{number(start.seconds)} s"
                )
                yield Breach(f"feed of unit {name}, start of {start.load}", over, "A", text)


def direct_start(context: Context) -> Iterator[Breach]:
    """The fuse of a direct load stands the start of its load, whatever the levels of the load."""
    for direct in context.direct:
        fuse = direct.circuit.fuse_a
        for load in direct.loads if fuse is not None else ():
            for start in own_start(load):
                over = excess(start.current_a, fuse_stands_a(fuse or 0.0, start.seconds))
                if over > 0.0:
                    text = (
                        f"{direct.label} starts with {number(start.current_a)} A, {number(over)} A more than its fuse "
                        f"of {number(fuse or 0.0)} A withstands for {number(start.seconds)} s"
                    )
                    yield Breach(direct.label, over, "A", text)


def _fused(context: Context) -> Iterator[Fused]:
    for name, conductor in context.feeds.items():
        feed, unit = context.mounted[name].stated.feed, context.mounted[name]
        if feed is not None:
            least, begun = feed_fuse(context, unit), tuple(starts(context, unit))
            yield Fused(conductor.label, conductor.current_a, feed.fuse_a, least, begun)
    for direct in context.direct:
        if direct.loads:
            load = direct.loads[0]
            least, begun = direct_fuse(context.problem, load), own_start(load)
            yield Fused(direct.label, direct.current_a, direct.circuit.fuse_a, least, begun)
