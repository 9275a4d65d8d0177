"""Volts all over a layout in every condition: its network of resistances, solved."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from allocator.evaluation.context import Context
from allocator.evaluation.direct_loads import drop_limit_v
from allocator.evaluation.node_voltages import voltages
from allocator.evaluation.prepare import prepare
from allocator.evaluation.resistance_network import Draw, Grid, grid_of
from allocator.layout import Layout
from allocator.notebook import shown
from allocator.once import once
from allocator.problem import Problem
from allocator.table import Table, columns_of, keyed, table_of

if TYPE_CHECKING:
    from pandas import DataFrame


NO_OHM = 1e-12
"""Up to this two nodes count as one: a thousand amperes lose a nanovolt between them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadVolts:
    """One load in one condition.

    ``volts_v`` between its terminals with the source at its running voltage, ``lowest_v`` with it at the lowest;
    ``drop_v`` from output (or source) to return point, ``feed_v`` before that; ``limit_v`` is what the drop may be.
    """

    load: str
    condition: str
    current_a: float
    volts_v: float
    lowest_v: float
    feed_v: float
    drop_v: float
    limit_v: float


@dataclass(frozen=True, slots=True, kw_only=True)
class NodeVolts:
    """One point of the layout in one condition, against ground."""

    node: str
    condition: str
    volts_v: float
    lowest_v: float


@dataclass(frozen=True, slots=True, kw_only=True)
class GroundCurrent:
    """What a stud, a source's minus or another ground takes in one condition."""

    ground: str
    condition: str
    current_a: float


@dataclass(frozen=True, slots=True, kw_only=True)
class NetworkVolts:
    """Loads, nodes and grounds, condition by condition; ``unknown`` names loads whose wires are not all resolved."""

    loads: tuple[LoadVolts, ...]
    nodes: tuple[NodeVolts, ...]
    grounds: tuple[GroundCurrent, ...]
    unknown: tuple[str, ...] = ()

    @property
    def worst(self) -> tuple[LoadVolts, ...]:
        """Each load in the condition in which it has least, the lowest volts first."""
        found = each_at_most(self.loads, lambda one: -one.volts_v)
        return tuple(sorted(found, key=lambda one: (one.volts_v, one.load)))

    def _repr_html_(self) -> str:
        rows = [(one.load, one.condition, one.volts_v, one.lowest_v, one.drop_v, one.limit_v) for one in self.worst]
        worst = Table(columns=keyed("load", "lowest in", "volts_v", "lowest_v", "drop_v", "limit_v"), rows=tuple(rows))
        return shown("Volts at the loads", [("not told", self.unknown)] if self.unknown else [], worst)

    def table(self) -> Table:
        """One row per load and condition; columns as in `LoadVolts`."""
        return table_of(columns_of(LoadVolts), self.loads)

    def frame(self) -> DataFrame:
        """The same for pandas."""
        return self.table().frame()


def each_at_most(loads: Iterable[LoadVolts], figure: Callable[[LoadVolts], float]) -> tuple[LoadVolts, ...]:
    """Each load in the condition in which a figure of it is largest."""
    found: dict[str, LoadVolts] = {}
    for one in loads:
        if one.load not in found or figure(one) > figure(found[one.load]):
            found[one.load] = one
    return tuple(found.values())


def volts(problem: Problem, layout: Layout) -> NetworkVolts:
    """The volts of a layout, also of one made by hand, which is completed first."""
    return volts_of(prepare(problem, layout))


@once
def volts_of(context: Context) -> NetworkVolts:
    """The volts all over a layout in every condition.

    Each load draws its heating current, nominal (without spread), wherever its terminals come to lie; so the
    network is linear, and what is lost does not depend on the voltage of the source.
    """
    problem, grid = context.problem, grid_of(context)
    solved = _Solved(grid, len(problem.conditions))
    loads, nodes, grounds = [], [], []
    for m, condition in enumerate(problem.conditions):
        for draw in grid.draws:
            loads.append(_load(problem, solved, draw, m))
        for n, node in enumerate(grid.nodes):
            lost = solved.lost_v(n, m)
            high, low = (problem.running_v - lost, problem.lowest_v - lost) if node.live else (lost, lost)
            nodes.append(NodeVolts(node=node.label, condition=condition, volts_v=high, lowest_v=low))
            if node.held and not node.live:
                into = solved.into_a(n, m)
                grounds.append(GroundCurrent(ground=node.label, condition=condition, current_a=into))
    return NetworkVolts(loads=tuple(loads), nodes=tuple(nodes), grounds=tuple(grounds), unknown=grid.unknown)


def _load(problem: Problem, solved: _Solved, draw: Draw, m: int) -> LoadVolts:
    feed = solved.lost_v(draw.origin, m)
    lost = solved.lost_v(draw.plus, m) + solved.lost_v(draw.minus, m)
    return LoadVolts(
        load=draw.load.name,
        condition=problem.conditions[m],
        current_a=draw.load.current_a * draw.load.heating(m),
        volts_v=problem.running_v - lost,
        lowest_v=problem.lowest_v - lost,
        feed_v=feed,
        drop_v=lost - feed,
        limit_v=drop_limit_v(problem, draw.load),
    )


class _Solved:
    """Volts lost at each node: below the source on the side of the plus, above ground on the other.

    What flows to a load's plus leaves at its minus, so Kirchhoff's current law reads the same on both sides. Nodes
    that nothing keeps apart count as one.
    """

    def __init__(self, grid: Grid, conditions: int):
        self._one = _joined(grid)
        self._links: dict[int, dict[int, float]] = {n: {} for n in self._one}
        for start, end, ohm in grid.resistances:
            a, b = self._one[start], self._one[end]
            if a != b:
                self._links[a][b] = self._links[b][a] = self._links[a].get(b, 0.0) + 1.0 / ohm
        self._drawn_a = {n: [0.0] * conditions for n in self._links}
        for draw in grid.draws:
            for terminal in (draw.plus, draw.minus):
                own = self._drawn_a[self._one[terminal]]
                for m in range(conditions):
                    own[m] += draw.load.current_a * draw.load.heating(m)
        held = {self._one[n] for n, node in enumerate(grid.nodes) if node.held}
        self._lost_v = voltages(self._links, self._drawn_a, held)

    def lost_v(self, n: int, m: int) -> float:
        """Volts lost at a node in a condition."""
        return self._lost_v[self._one[n]][m]

    def into_a(self, n: int, m: int) -> float:
        """What flows into a node that is held; of those joined without resistance the first has it all."""
        if self._one[n] != n:
            return 0.0
        return self._drawn_a[n][m] + sum(g * self._lost_v[j][m] for j, g in self._links[n].items())


def _joined(grid: Grid) -> list[int]:
    """For each node the one that stands for all it is joined to without resistance: a held one, else the first."""
    one = list(range(len(grid.nodes)))

    def root(n: int) -> int:
        while one[n] != n:
            n = one[n]
        return n

    for start, end, ohm in grid.resistances:
        if ohm <= NO_OHM:
            a, b = sorted((root(start), root(end)), key=lambda n: (not grid.nodes[n].held, n))
            one[b] = a
    return [root(n) for n in range(len(one))]
