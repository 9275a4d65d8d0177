"""What is lost to single failures, in a few lines."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.analysis.failures import Failure, Failures
from allocator.problem import Problem
from allocator.reporting.blocks import Block, Heading, Paragraph, counted, listed
from allocator.table import Cell, count, figure, table_of, text

_COLUMNS = (
    text("failure"), count("loads\nin all", key="all"), count("at\nonce", key="once"),
    figure("A\nthen", digits=1, key="current_a"), text("in"), count("functions\ngone", key="ends"),
    count("degraded", key="harms"),
)  # fmt: skip


def failing(problem: Problem, found: Failures) -> tuple[Block, ...]:
    """The single failures that lose the most, then every function that a single failure ends."""
    worst = found.worst()
    if not worst and not found.unfed:
        return ()
    tables = (table_of(_COLUMNS, map(told_of, worst)),) if worst else ()
    lines = [Paragraph(f"* {line}") for line in gone_lines(problem, found)]
    return (Heading("Single failures that lose the most"), *tables, *lines, *unfed(found))


def told_of(one: Failure) -> dict[str, Cell]:
    """What tables tell of a failure: loads that it takes, in all and at once, functions that it ends and degrades."""
    most = one.most_lost
    return {
        "failure": called(one),
        "all": len(one.loads),
        "once": len(most.loads),
        "current_a": float(most.current_a),
        "in": most.condition if most.loads else None,
        "ends": len(one.gone),
        "harms": len(one.degraded),
        "gone": one.gone,
        "degraded": one.degraded,
        "loads": one.loads,
    }


def called(one: Failure) -> str:
    """A failure with the others that take the very same loads."""
    return f"{one.object} (so does {', '.join(one.also)})" if one.also else one.object


def gone_lines(problem: Problem, found: Failures) -> Iterator[str]:
    """Which single failures end or degrade which functions, and which outlive them all: a sentence each."""
    if found.never:
        yield f"gone from the start, as too few of their loads are fed: {', '.join(found.never)}"
    ends: dict[str, list[str]] = {one.name: [] for one in problem.functions if one.name not in found.never}
    for name, failure in found.gone:
        ends.get(name, []).extend((failure.object, *failure.also))
    alike: dict[tuple[str, ...], list[str]] = {}
    for name, objects in ends.items():
        alike.setdefault(tuple(objects), []).append(name)
    untouched = alike.pop((), [])
    for enders, names in alike.items():
        yield f"gone with {listed(enders)}: {', '.join(names)}"
    yield from _degraded_lines(found)
    if untouched:
        yield f"still there whatever single thing fails: {', '.join(untouched)}"


def _degraded_lines(found: Failures) -> Iterator[str]:
    """What the failures that lose the most degrade."""
    alike: dict[tuple[str, ...], list[str]] = {}
    for failure in found.worst():
        names = tuple(name for name in failure.degraded if name not in found.never)
        alike.setdefault(names, []).extend((failure.object, *failure.also))
    for names, objects in alike.items():
        if names:
            yield f"degraded, not gone, with {listed(objects, len(objects))}: {', '.join(names)}"


def unfed(found: Failures) -> tuple[Block, ...]:
    """Loads that the layout feeds nowhere: they are lost from the start."""
    if not found.unfed:
        return ()
    text = f"{counted(len(found.unfed), 'load is', 'loads are')} not fed at all: {listed(found.unfed, 5)}."
    return (Paragraph(text, "bad"),)
