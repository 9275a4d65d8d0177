"""Voltages of a network of resistances by elimination, node by node."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from heapq import heapify, heappop, heappush

Links = Mapping[int, Mapping[int, float]]
"""Conductance in S between each node and each of its neighbours; the same from both ends."""


def voltages(links: Links, drawn_a: Mapping[int, Sequence[float]], held: Collection[int]) -> dict[int, list[float]]:
    """Solve ``sum of g_nj (v_n - v_j) = I_n`` at every node that is not held at 0 V, for several right sides at once.

    A node is taken out by the star-mesh transformation: between each two of its neighbours comes ``g_j g_k / G``,
    and its current goes to them as ``I g_j / G``, with G the sum of its own g. Nothing is ever subtracted, so each
    voltage is right to a few units of its last digit, however far the resistances lie apart. The fewest
    neighbours go first: a layout is nearly a tree, and then hardly any link is added.

    Parameters
    ----------
    links
        Conductances, every node a key. Each node must have a way to one that is held.
    drawn_a
        Current at each node for each right side, all of one sign; a node that is not named draws nothing.
    held
        Nodes at 0 V.

    Returns
    -------
    dict of list of float
        Voltages of every node, in V, one for each right side.
    """
    sides = max((len(currents) for currents in drawn_a.values()), default=0)
    left = {n: dict(near) for n, near in links.items()}
    currents = {n: list(drawn_a.get(n, [0.0] * sides)) for n in links}
    free = set(left) - set(held)
    waiting = [(len(left[n]), n) for n in free]
    heapify(waiting)
    taken = []
    while waiting:
        neighbours, n = heappop(waiting)
        if n not in free or neighbours != len(left[n]):
            continue
        free.remove(n)
        near = left.pop(n)
        total = sum(near.values())
        taken.append((n, near, total))
        _spread(left, n, near, total)
        for j, g in near.items():
            currents[j] = [own + more * g / total for own, more in zip(currents[j], currents[n], strict=True)]
            if j in free:
                heappush(waiting, (len(left[j]), j))
    found = {n: [0.0] * sides for n in held}
    for n, near, total in reversed(taken):
        found[n] = [
            (current + sum(g * found[j][side] for j, g in near.items())) / total
            for side, current in enumerate(currents[n])
        ]
    return found


def _spread(left: dict[int, dict[int, float]], n: int, near: Mapping[int, float], total: float) -> None:
    """Join the neighbours of a node to each other in its place."""
    for j in near:
        del left[j][n]
    for j, first in near.items():
        for k, second in near.items():
            if j != k:
                left[j][k] = left[j].get(k, 0.0) + first * second / total
