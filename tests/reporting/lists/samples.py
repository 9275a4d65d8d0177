"""Layouts with every feature: parallel, bridge, shared, direct, given, connector and gland, studs and returns home."""

from __future__ import annotations

from dataclasses import replace

from allocator.evaluation.complete import complete
from allocator.layout import Layout
from allocator.problem import Problem
from tests.checking.rich import rich_complete, rich_layout, rich_problem

PROBLEM, LAYOUT = rich_problem(), rich_complete()


def with_gland() -> tuple[Problem, Layout]:
    """The same with a gland instead of the connector."""
    there = replace(PROBLEM, bulkheads=tuple(replace(one, kind="gland") for one in PROBLEM.bulkheads))
    return there, complete(there, rich_layout())


def with_two_walls() -> tuple[Problem, Layout]:
    """A second connector behind the first, with contacts for all."""
    second = replace(PROBLEM.bulkheads[0], name="second", studs=0)
    segments = (*PROBLEM.segments[:2], replace(PROBLEM.segments[2], bulkhead="second"))
    there = replace(PROBLEM, bulkheads=(*PROBLEM.bulkheads, second), segments=segments)
    return there, complete(there, rich_layout())


def said(loads: dict[str, dict[str, str]]) -> Problem:
    """The problem with columns of the schedule's own."""
    return replace(
        PROBLEM,
        loads=tuple(replace(load, extra=tuple(loads.get(load.name, {}).items())) for load in PROBLEM.loads),
    )
