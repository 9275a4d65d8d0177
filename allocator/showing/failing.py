"""What single failures take away, in a few lines."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.advising.failures import Failure, Failures
from allocator.problem import Problem
from allocator.showing.blocks import Block, Column, Heading, Paragraph, Table, counted, listed, number


def failing(problem: Problem, found: Failures) -> tuple[Block, ...]:
    """The single failures that lose the most, then every function that a single failure ends."""
    worst = found.worst()
    if not worst and not found.unfed:
        return ()
    columns = (
        Column(heading="failure"),
        Column(heading="loads\nin all", number=True),
        Column(heading="at\nonce", number=True),
        Column(heading="A\nthen", number=True),
        Column(heading="in"),
        Column(heading="functions gone", number=True),
    )
    rows = tuple(_row(one) for one in worst)
    tables = (Table(title="", columns=columns, rows=rows),) if rows else ()
    lines = [Paragraph(f"* {line}") for line in gone_lines(problem, found)]
    return (Heading("Single failures that lose the most"), *tables, *lines, *unfed(found))


def _row(one: Failure) -> tuple[str, ...]:
    most = one.most_lost
    return (
        called(one),
        f"{len(one.loads)}",
        f"{len(most.loads)}",
        number(most.current_a, 1),
        most.condition if most.loads else "",
        f"{len(one.gone)}",
    )


def called(one: Failure) -> str:
    """A failure with the others that take the very same loads."""
    return f"{one.object} (so does {', '.join(one.also)})" if one.also else one.object


def gone_lines(problem: Problem, found: Failures) -> Iterator[str]:
    """Which single failures end which functions, and which functions outlive them all: a sentence each."""
    ends: dict[str, list[str]] = {function.name: [] for function in problem.functions}
    for name, failure in found.gone:
        ends[name] += [failure.object, *failure.also]
    alike: dict[tuple[str, ...], list[str]] = {}
    for name, objects in ends.items():
        alike.setdefault(tuple(objects), []).append(name)
    for enders, names in sorted(alike.items(), key=lambda entry: not entry[0]):
        if enders:
            yield f"gone with {listed(enders)}: {', '.join(names)}"
        else:
            yield f"left whatever single thing fails: {', '.join(names)}"


def unfed(found: Failures) -> tuple[Block, ...]:
    """Loads that the layout feeds nowhere: they are lost from the start."""
    if not found.unfed:
        return ()
    text = f"{counted(len(found.unfed), 'load is', 'loads are')} fed by nothing: {listed(found.unfed, 5)}."
    return (Paragraph(text, "bad"),)
