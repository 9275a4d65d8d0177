"""Volts of whole layouts against ngspice, a circuit simulator that shares nothing with this package."""

from __future__ import annotations

from shutil import which

import pytest

from allocator.evaluation.network_volts import volts
from allocator.evaluation.node_voltages import voltages
from allocator.layout import OPTIMAL, Layout
from allocator.problem import Problem
from allocator.search.solve import solve
from tests.checking.rich import rich_complete, rich_problem
from tests.engine.draws import ALL, SMALL, draw
from tests.published.netlists import Netlist, run_ngspice
from tests.solved import demonstration, solved

WITHIN_V = 1e-4

simulated = pytest.mark.skipif(
    which("ngspice") is None,
    reason="ngspice is not here (Debian package 'ngspice'): nothing outside tells the volts of whole layouts",
)

FEEDER = ("V0 n0 0 12.6", "R1 n0 n1 0.010", "I2 n1 0 5", "R3 n1 n2 0.015", "I4 n2 0 10")
"""12.6 V, 10 mohm to a node that draws 5 A, 15 mohm from there to one that draws 10 A."""


def test_a_feeder_by_the_published_figures():
    """12.450 V and 12.300 V (ngspice 39, `.op`; computed)."""
    links = {0: {1: 1 / 0.010}, 1: {0: 1 / 0.010, 2: 1 / 0.015}, 2: {1: 1 / 0.015}}
    lost = voltages(links, {1: [5.0], 2: [10.0]}, {0})
    assert [12.6 - lost[n][0] for n in (1, 2)] == pytest.approx([12.450, 12.300], abs=1e-9)


@simulated
def test_ngspice_gives_the_published_figures_too():
    assert run_ngspice(FEEDER) == pytest.approx({"n0": 12.6, "n1": 12.450, "n2": 12.300}, abs=1e-9)


def agree(problem: Problem, layout: Layout) -> int:
    """Hold every node in every condition, at running and lowest voltage, against ngspice; the number of nodes."""
    found = volts(problem, layout)
    assert found.unknown == ()
    for m, condition in enumerate(problem.conditions):
        here = [one for one in found.nodes if one.condition == condition]
        for source_v, own in (
            (problem.running_v, {one.node: one.volts_v for one in here}),
            (problem.lowest_v, {one.node: one.lowest_v for one in here}),
        ):
            assert len(own) == len(here)
            outside = Netlist(problem, layout, m, source_v).volts()
            assert {node for node in own.keys() | outside.keys() if node not in own or node not in outside} == set()
            assert {node for node in own if abs(own[node] - outside[node]) > WITHIN_V} == set()
    return len(found.nodes) // len(problem.conditions)


@simulated
def test_every_node_of_a_demonstration():
    # a layout within a gap has as many nodes as any
    assert agree(demonstration("clinic-van"), solved("clinic-van", gap=0.25)) > 100


@simulated
def test_every_node_of_a_layout_with_every_kind_of_circuit():
    assert agree(rich_problem(), rich_complete()) > 20


@simulated
def test_every_node_of_drawn_layouts():
    compared = 0
    for seed in range(700, 730):
        problem = draw(seed, SMALL, ALL)
        layout = solve(problem)
        if layout.status == OPTIMAL:
            compared += 1
            assert agree(problem, layout) > 0, f"seed {seed}"
    assert compared >= 10


@simulated
def test_a_tenth_of_a_percent_more_copper_is_seen():
    """The comparison would find a wire that is that much off."""
    problem, layout = rich_problem(), rich_complete()
    heavy = Netlist(problem, layout, 0, problem.running_v)
    heavy.lines = [
        f"{line.rsplit(' ', 1)[0]} {1.001 * float(line.rsplit(' ', 1)[1])!r}" if line.startswith("R") else line
        for line in heavy.lines
    ]
    own = {one.node: one.volts_v for one in volts(problem, layout).nodes if one.condition == problem.conditions[0]}
    assert max(abs(own[node] - volts_v) for node, volts_v in heavy.volts().items()) > WITHIN_V
