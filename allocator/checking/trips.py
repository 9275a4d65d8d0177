"""Rules on trip settings: what protects a wire must pass the load and stop before anything burns."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.checking.report import Breach, number
from allocator.evaluation.branches import Branch, Fed
from allocator.evaluation.context import Context
from allocator.evaluation.decisions import least_setting, trip_needed_a
from allocator.evaluation.tolerance import RELATIVE, excess
from allocator.wiring import trip_settings


def trip_setting(context: Context) -> Iterator[Breach]:
    """A trip is one of the settings of the output class."""
    for fed in context.circuits:
        if fed.output_class is None:
            continue
        settings = trip_settings(fed.output_class)
        trip = fed.circuit.trip_a
        if trip is None:
            needed, top = trip_needed_a(context.problem, fed), max(settings, default=0.0)
            text = f"{fed.label} needs a trip of {number(needed)} A, but the highest setting is {number(top)} A"
            yield Breach(fed.label, needed - top, "A", text)
            continue
        off = min((abs(trip - setting) for setting in settings), default=abs(trip))
        # written so that NaN is not a setting
        if not (settings and off <= RELATIVE * max(settings)):
            text = f"{fed.label} has a trip of {number(trip)} A, {number(off)} A from the next setting"
            yield Breach(fed.label, off, "A", text)


def trip_margin(context: Context) -> Iterator[Breach]:
    """``trip >= margin I / (k pu)``: a load that runs as it should does not trip its output."""
    for fed, trip in _tripped(context):
        needed = trip_needed_a(context.problem, fed)
        short = excess(needed, trip)
        if short > 0.0:
            text = f"{fed.label} has a trip of {number(trip)} A, {number(short)} A below {number(needed)} A"
            yield Breach(fed.label, short, "A", text)


def least_trip(context: Context) -> Iterator[Breach]:
    """The trip is the least setting with enough margin, no higher."""
    for fed, trip in _tripped(context):
        if fed.output_class is None:
            continue
        least = least_setting(fed.output_class, trip_needed_a(context.problem, fed))
        over = excess(trip, least) if least is not None else 0.0
        if over > 0.0:
            text = f"{fed.label} has a trip of {number(trip)} A where {number(trip - over)} A is enough"
            yield Breach(fed.label, over, "A", text)


def trip_rating(context: Context) -> Iterator[Breach]:
    """A trip is not above the continuous rating of the output at its site."""
    for fed, trip in _tripped(context):
        over = excess(trip, fed.rating_a) if fed.rating_a is not None else 0.0
        if over > 0.0:
            text = f"{fed.label} has a trip of {number(trip)} A, {number(over)} A over its output's rating"
            yield Breach(fed.label, over, "A", text)


def largest_trip(context: Context) -> Iterator[Breach]:
    """``k trip <= max_trip`` of each load, or its fuse: its own lead allows no more."""
    for branch, guard in _guarded(context):
        for load in branch.loads:
            total = branch.parallel * guard
            over = excess(total, load.max_trip_a) if load.max_trip_a is not None else 0.0
            if over > 0.0:
                behind = f"behind a {_word(branch)} of {number(total)} A"
                text = f"load {load.name} is {behind}, {number(over)} A over its largest"
                yield Breach(f"load {load.name}", over, "A", text)


def below_stall(context: Context) -> Iterator[Breach]:
    """``k trip < stall`` of each load, or its fuse: a stalled motor is switched off."""
    for branch, guard in _guarded(context):
        for load in branch.loads:
            total = branch.parallel * guard
            if load.stall_a is not None and total >= load.stall_a * (1 - RELATIVE):
                behind = f"behind a {_word(branch)} of {number(total)} A"
                text = f"load {load.name} is {behind}, not below its stall at {number(load.stall_a)} A"
                yield Breach(f"load {load.name}", total - load.stall_a, "A", text)


def _word(branch: Branch) -> str:
    return "trip" if isinstance(branch, Fed) else "fuse"


def _guarded(context: Context) -> Iterator[tuple[Branch, float]]:
    for branch in context.branches:
        if branch.guard_a is not None:
            yield branch, branch.guard_a


def _tripped(context: Context) -> Iterator[tuple[Fed, float]]:
    for fed in context.circuits:
        if fed.circuit.trip_a is not None:
            yield fed, fed.circuit.trip_a
