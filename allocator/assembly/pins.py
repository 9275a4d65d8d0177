"""Pins for circuits and contacts for wires: outputs of a class are alike, so the model never sees them one by one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence


def deal(wishes: Sequence[frozenset[int]], supply: Mapping[int, int], worth: Mapping[int, float]) -> list[int]:
    """Give each wish one class out of the set it accepts, the least worth in all; within a set, in order of worth.

    Worths are added up by their ranks (0 for the least), so that what comes out does not hang on a float.

    Parameters
    ----------
    wishes
        Accepted classes of each taker, in the order in which they are to be served within alike sets.
    supply
        How many each class has to give.
    worth
        What one of each class is worth: the costlier ones are kept free where that is possible.

    Raises
    ------
    ValueError
        Where not every wish can be met (the model's Hall rows exclude it).
    """
    import networkx

    if not wishes:
        return []
    groups: dict[frozenset[int], list[int]] = {}
    for taker, accepted in enumerate(wishes):
        groups.setdefault(accepted, []).append(taker)
    ranks = {value: rank for rank, value in enumerate(sorted(set(worth.values())))}
    graph: networkx.DiGraph[object] = networkx.DiGraph()
    graph.add_node("sink", demand=len(wishes))
    for number, (accepted, takers) in enumerate(groups.items()):
        graph.add_node(("set", number), demand=-len(takers))
        for q in sorted(accepted):
            graph.add_edge(("set", number), ("class", q), weight=ranks[worth[q]])
    for q in sorted({q for accepted in groups for q in accepted}):
        graph.add_edge(("class", q), "sink", capacity=supply.get(q, 0), weight=0)
    try:
        flow = networkx.min_cost_flow(graph)
    except networkx.NetworkXUnfeasible:
        raise ValueError("fewer outputs or contacts than takers") from None
    dealt = [0] * len(wishes)
    for number, takers in enumerate(groups.values()):
        given = [q for (_, q), n in flow["set", number].items() for _ in range(n)]
        for taker, q in zip(takers, sorted(given, key=lambda q: (worth[q], q)), strict=True):
            dealt[taker] = q
    return dealt


class PinStock:
    """Pins of the classes of one unit, handed out in order."""

    def __init__(self, pins: Mapping[int, Sequence[str]]):
        self._left = {q: list(own) for q, own in pins.items()}

    def left(self, kept: Mapping[int, int]) -> dict[int, int]:
        """How many pins each class still has, less those ``kept`` free."""
        return {q: len(own) - kept.get(q, 0) for q, own in self._left.items()}

    def take(self, takes: Sequence[tuple[int, int]]) -> tuple[str, ...]:
        """The next pins of the given (class, number) pairs."""
        return tuple(self._left[q].pop(0) for q, n in takes for _ in range(n))
