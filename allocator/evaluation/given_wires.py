"""Wires that are given: filled in, and laid."""

from __future__ import annotations

from dataclasses import replace

from allocator.evaluation.branches import Given
from allocator.evaluation.laid_conductors import (
    Conductor,
    class_asked,
    followed,
    free_air_a,
    row_of,
    shortest,
    table_of,
)
from allocator.evaluation.neighbours import Neighbours
from allocator.layout import GivenRun
from allocator.problem import GivenWire, Problem
from allocator.routing import Network


def decided_given(problem: Problem, network: Network, stated: tuple[GivenRun, ...]) -> tuple[GivenRun, ...]:
    """The runs stated, filled in, and one for each given wire that has none."""
    named = {run.wire for run in stated}
    known = {one.name: one for one in problem.given_wires}
    missing = [GivenRun(wire=name, size=one.size, cores=one.cores) for name, one in known.items() if name not in named]
    return tuple(_filled(problem, network, run, known.get(run.wire)) for run in (*stated, *missing))


def lay_given(problem: Problem, network: Network, neighbours: Neighbours, run: GivenRun) -> Given:
    """A run with the conductor that each of its cores is.

    Parameters
    ----------
    problem
        The problem.
    network
        Its route network.
    neighbours
        What a line finds in each segment: cables beside it, and warm bundles.
    run
        The given wire as the layout has it.
    """
    wire = next((one for one in problem.given_wires if one.name == run.wire), None)
    if wire is None:
        return Given(run=run, wire=None, conductor=None)
    route = followed(problem, network, run.route)
    table = table_of(problem, wire.size, route, branch=False)
    row = row_of(table, wire.size, run.insulation_c)
    line = problem.line_of(wire.size)
    conductor = Conductor(
        label=f"given wire {wire.name}",
        route=route,
        table=table,
        row=row,
        asked_c=class_asked(problem, table, route),
        free_a=free_air_a(problem, row, route),
        line=line,
        factor=neighbours.factor(route, line),
        current_a=wire.current_a,
        length_m=None if route is None else route.length_m + problem.margins.tail_m,
    )
    return Given(run=run, wire=wire, conductor=conductor)


def _filled(problem: Problem, network: Network, run: GivenRun, wire: GivenWire | None) -> GivenRun:
    if wire is None:
        return run
    if run.route:
        route = followed(problem, network, run.route)
    else:
        route = shortest(problem, network, wire.start, wire.end, problem.line_of(wire.size))
        run = replace(run, route=() if route is None else route.places)
    run = replace(run, size=run.size or wire.size)
    if run.insulation_c is None:
        table = table_of(problem, wire.size, route, branch=False)
        run = replace(run, insulation_c=class_asked(problem, table, route))
    return run
