"""Trees through the network, and how they are walked."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

Edge = tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tree:
    """A tree through the network.

    ``edges`` point away from the root, in order of a walk from it by place names. ``ambient_c`` is the
    hottest of its segments, its root and its ends, ``insulation_c`` the highest that a segment asks for;
    ``bulkheads`` hold one name per crossing. ``pieces`` are its stretches between root, ends and branchings,
    as places. ``exact`` False: at most twice as long as the shortest.
    """

    root: str
    ends: tuple[str, ...]
    edges: tuple[Edge, ...]
    length_m: float
    ambient_c: float
    insulation_c: float
    bulkheads: tuple[str, ...]
    pieces: tuple[tuple[str, ...], ...]
    exact: bool = True


def outward(root: str, edges: Iterable[Edge]) -> tuple[Edge, ...]:
    """The edges of a tree, turned away from its root, in order of a walk in depth by place names."""
    neighbours: dict[str, list[str]] = {root: []}
    for a, b in edges:
        neighbours.setdefault(a, []).append(b)
        neighbours.setdefault(b, []).append(a)
    ordered: list[Edge] = []
    stack = [(root, there) for there in sorted(neighbours[root], reverse=True)]
    while stack:
        before, here = stack.pop()
        ordered.append((before, here))
        stack += [(here, there) for there in sorted(neighbours[here], reverse=True) if there != before]
    return tuple(ordered)


def children(root: str, edges: Sequence[Edge]) -> dict[str, list[str]]:
    """The places next further out, for each place of an outward tree."""
    further: dict[str, list[str]] = {root: [], **{here: [] for _, here in edges}}
    for before, here in edges:
        further[before].append(here)
    return further


def stretches(root: str, edges: Sequence[Edge], stops: Collection[str]) -> tuple[tuple[str, ...], ...]:
    """The ways of an outward tree between the stops and the places where it branches."""
    further = children(root, edges)
    ways: list[tuple[str, ...]] = []
    for before, here in edges:
        if ways and ways[-1][-1] == before and before not in stops and len(further[before]) == 1:
            ways[-1] = (*ways[-1], here)
        else:
            ways.append((before, here))
    return tuple(ways)
