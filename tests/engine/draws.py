"""Small problems drawn by a seed, with every feature of the engine switched on in random combination."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from random import Random

from allocator.problem import Load, Problem
from tests.engine.drawing import Drawing, Size
from tests.oracle import drops_by_cp_sat

SINGLE = frozenset(
    {
        "altitude",
        "ambient",
        "conditions",
        "dim",
        "hot",
        "if needed",
        "insulation",
        "lead",
        "mass",
        "max_drop",
        "max_trip",
        "min_volts",
        "returns",
        "runs",
        "several sites",
        "shelf",
        "sources",
        "spare_current",
        "spares",
        "stall",
        "straight",
        "studs",
        "trip lists",
        "wet",
    }
)
"""Features of problems in which every load has a circuit, an output and a wire of its own."""

WIDE = frozenset(
    {
        "banks",
        "bridge",
        "bulkheads",
        "capabilities",
        "functions",
        "parallel",
        "pins",
        "share",
        "sites",
        "spread",
        "together",
    }
)
"""Features that tie circuits to each other."""

ALL = SINGLE | WIDE

BESIDE = frozenset({"direct", "given", "peaks", "starts"})
"""Features beside the circuits of loads that run for ever: other wires, starts, short circuits."""

BUNDLED = frozenset({"conduit", "inside", "only", "table"})
"""Features of problems in which bundles count."""

EVERYTHING = ALL | BESIDE | BUNDLED | {"bundles"}
"""What the oracle by CP-SAT covers; the one that tries all knows no direct loads and given wires."""

TINY = Size(loads=(2, 4), units=(1, 2), sites=(1, 2), places=(3, 5), outputs=(1, 3), classes=(2, 2))
SMALL = Size(loads=(4, 8), units=(2, 3), sites=(2, 3), places=(4, 6), outputs=(2, 3), classes=(2, 3))
CROWDED = Size(loads=(3, 6), units=(1, 2), sites=(1, 3), places=(4, 6), outputs=(2, 3), classes=(2, 3))
"""Few units and places, so that many wires lie beside each other."""


LEAST_V = 0.001
"""Volts between which a limit is put: with less its fifth digit would count."""


def draw(
    seed: int, size: Size, features: frozenset[str] = ALL, *, chance: float = 0.3, always: frozenset[str] = frozenset()
) -> Problem:
    """One problem: each of the features is on with a chance, or ``always``, and used somewhere if it is on."""
    rng = Random(f"{seed} {size} {sorted(features)}")
    on = frozenset(f for f in sorted(features) if rng.random() < chance)
    return Drawing(rng, on | always, size).problem()


def draw_crowded(seed: int) -> Problem:
    """One problem in which bundles count, by turns crowded and small, with fewer of the other features."""
    size = CROWDED if seed % 2 == 0 else SMALL
    return draw(seed, size, EVERYTHING, chance=0.15, always=_held(seed))


def draw_losing(seed: int) -> Problem:
    """One problem of bundles in which the loads of its least layout lose more than they may, for the bundles there.

    Of a crowded draw, with so much less drop allowed to some of the loads: what each loses when none warms its wires,
    and a part of what it loses more in that layout.
    """
    problem, rng = draw_crowded(seed), Random(f"losing {seed}")
    return replace(problem, loads=tuple(_tightened(problem, rng, drops_by_cp_sat(problem))))


def _tightened(problem: Problem, rng: Random, drops: dict[str, tuple[float, float]]) -> Iterator[Load]:
    for load in problem.loads:
        cold, warm = drops.get(load.name, (0.0, 0.0))
        if warm - cold > LEAST_V and rng.random() < 0.7:
            most = (cold + rng.uniform(0.1, 0.9) * (warm - cold)) / problem.running_v
            load = replace(load, max_drop=min(most, load.max_drop or most))
        yield load


def draw_tiny_bundles(seed: int) -> Problem:
    """One problem of few loads in which bundles count, without direct loads and given wires."""
    return draw(seed, TINY, ALL | BUNDLED, chance=0.15, always=_held(seed))


def _held(seed: int) -> frozenset[str]:
    """By turns how bundles are held; of the features of bundles others may come in addition."""
    turns: tuple[tuple[str, ...], ...] = ((), ("conduit",), ("only",), ("inside",), ("table",))
    return frozenset({"bundles", *turns[seed // 2 % len(turns)]})
