"""Wires of a shared circuit of which only the size was given: along the shortest tree."""

from __future__ import annotations

from collections import Counter, deque

from allocator.layout import PlacedWire, Splice
from allocator.problem import Load, Problem
from allocator.routing import Network, RouteError, split_tree


def shared_wires(
    problem: Problem, network: Network, site: str, loads: tuple[Load, ...], size: str
) -> tuple[tuple[PlacedWire, ...], tuple[Splice, ...]]:
    """Pieces of one size from an output to its loads along the shortest tree, and the splices between them.

    Parameters
    ----------
    problem
        The problem, for how many wires one splice takes.
    network
        What wires may pass.
    site
        Place of the unit.
    loads
        Loads of the circuit.
    size
        Name of the size that every piece has.

    Returns
    -------
    tuple
        Wires and splices; both empty where no tree joins the places.
    """
    at = Counter(load.place for load in loads)
    try:
        parts = split_tree(network.tree(site, at), at, site, problem.margins.splice_wires)
    except (RouteError, ValueError):
        return (), ()
    names = {place: deque(load.name for load in loads if load.place == place) for place in at}
    waiting = {place: deque(names[place]) for place in at}
    wires = []
    for piece in parts.pieces:
        if piece.at_load:
            carried: tuple[str, ...] = (waiting[piece.end].popleft(),)
        else:
            carried = tuple(name for place, _ in piece.downstream for name in names[place])
        wires.append(
            PlacedWire(
                role="branch" if piece.at_load else "trunk",
                size=size,
                start=piece.start,
                end=piece.end,
                route=piece.places,
                loads=carried,
            )
        )
    return tuple(wires), tuple(Splice(place=place, count=count) for place, count in parts.splices)
