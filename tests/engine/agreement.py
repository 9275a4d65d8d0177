"""One drawn problem, solved by the engine and by the oracles, and its layout spoilt in every way."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field

from allocator.checking import check
from allocator.layout import INFEASIBLE, OPTIMAL, Layout
from allocator.problem import Problem
from allocator.search.solve import solve
from tests.engine.damages import DAMAGES, decisions
from tests.engine.draws import Size, draw, draw_crowded, draw_losing, draw_tiny_bundles
from tests.oracle import NearTieError, least_by_cp_sat, least_by_trying_all


@dataclass
class Tally:
    """What came of a number of draws: how many, how many feasible, damages tried, and all that went wrong.

    ``bundled`` counts those whose answer is another because of what lies together, or, where that is asked of draws
    that lose volts in warm bundles, because of these volts; ``ties`` those left aside because a bundle or a drop is so
    near to its limit that two ways to reckon may differ.
    """

    drawn: int = 0
    feasible: int = 0
    bundled: int = 0
    ties: int = 0
    damages: Counter[str] = field(default_factory=Counter)
    faults: list[str] = field(default_factory=list)

    def add(self, other: Tally) -> None:
        """Take in another tally."""
        self.drawn += other.drawn
        self.feasible += other.feasible
        self.bundled += other.bundled
        self.ties += other.ties
        self.damages += other.damages
        self.faults += other.faults

    @property
    def share(self) -> float:
        """Share of the draws that have a layout."""
        return self.feasible / self.drawn


def compare(seed: int, size: Size, features: frozenset[str], *, try_all: bool, damage: bool) -> Tally:
    """Solve one draw by the engine and the oracles; then spoil the engine's layout."""
    problem = draw(seed, size, features)
    layout, expected = solve(problem), least_by_cp_sat(problem)
    tally = Tally(drawn=1, feasible=int(expected is not None))
    if not agrees(layout, expected):
        tally.faults.append(f"seed {seed}: engine {layout.status} {layout.objective_g} g, CP-SAT {expected} g")
    if try_all:
        by_hand = least_by_trying_all(problem)
        if by_hand != expected:
            tally.faults.append(f"seed {seed}: CP-SAT {expected} g, trying all {by_hand} g")
    if damage and layout.status == OPTIMAL:
        spoil(seed, problem, layout, tally)
    return tally


def compare_crowded(seed: int) -> Tally:
    """Solve one draw in which bundles count; the engine's layout passes the check, and its bare decisions do."""
    return _compare_bundles(seed, draw_crowded, alone=True)


def compare_losing(seed: int) -> Tally:
    """The same of a draw whose bundles cost its loads volts that they do not have."""
    return _compare_bundles(seed, draw_losing, warm=False)


def _compare_bundles(seed: int, drawn: Callable[[int], Problem], *, alone: bool = False, warm: bool = True) -> Tally:
    """Bundles count where the oracle that leaves aside what they do finds another answer."""
    try:
        problem = drawn(seed)
        expected = least_by_cp_sat(problem)
    except NearTieError:
        return Tally(drawn=1, ties=1)
    layout = solve(problem)
    tally = Tally(drawn=1, feasible=int(expected is not None))
    tally.bundled += least_by_cp_sat(problem, alone=alone, warm=warm) != expected
    if not agrees(layout, expected):
        tally.faults.append(f"seed {seed}: engine {layout.status} {layout.objective_g} g, CP-SAT {expected} g")
    if layout.objective_g is not None:
        for good in (layout, decisions(layout)):
            tally.faults += [f"seed {seed}: {violation.text}" for violation in check(problem, good).violations]
    return tally


def compare_oracles(seed: int) -> Tally:
    """The oracles against each other on a draw of few loads in which bundles count."""
    problem = draw_tiny_bundles(seed)
    least, tried = least_by_cp_sat(problem), least_by_trying_all(problem)
    tally = Tally(drawn=1, feasible=int(least is not None))
    tally.bundled += least_by_cp_sat(problem, alone=True) != least
    if tried != least:
        tally.faults.append(f"seed {seed}: CP-SAT {least} g, trying all {tried} g")
    return tally


def agrees(layout: Layout, expected: float | None) -> bool:
    """Whether the engine's answer is the oracle's, and is said to be proven."""
    if expected is None:
        return layout.status == INFEASIBLE and layout.objective_g is None
    proven = layout.status == OPTIMAL and layout.objective_g is not None
    return proven and abs((layout.objective_g or 0.0) - expected) <= 1e-3 + 1e-9 * expected


def spoil(seed: int, problem: Problem, layout: Layout, tally: Tally) -> None:
    """The check takes the layout, whole and stripped to its decisions, and nothing that is spoilt."""
    bare = decisions(layout)
    for name, good in (("layout", layout), ("decisions", bare)):
        report = check(problem, good)
        if not report.clean:
            tally.faults.append(f"seed {seed}: the {name} are refused: {report.violations[0].text}")
    for name, damage in DAMAGES.items():
        for spoilt in damage(problem, layout):
            tally.damages[name] += 1
            if check(problem, decisions(spoilt)).clean:
                tally.faults.append(f"seed {seed}: {name} was not noticed")
