"""The wires that a tree is made of: pieces between site, splices and loads."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from allocator.routing.trees import Edge, Tree, children


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One wire of a shared circuit, from the output's side (``start``) to the loads' side (``end``).

    ``places`` is its way, to be followed in the network; one place alone is a piece of route length 0.
    ``downstream`` holds (place, number of loads there) for the loads that its current goes to. ``at_load``:
    the piece ends at a load, whose lead is taken off; else it ends at a splice.
    """

    start: str
    end: str
    places: tuple[str, ...]
    downstream: tuple[tuple[str, int], ...]
    at_load: bool

    def feeds(self, place: str) -> bool:
        """Whether loads at the place get their current through this piece."""
        return any(place == below for below, _ in self.downstream)


@dataclass(frozen=True, slots=True, kw_only=True)
class TreeWires:
    """The pieces of a shared circuit, from the site outwards, and its (place, number of splices)."""

    pieces: tuple[Piece, ...]
    splices: tuple[tuple[str, int], ...]

    def path(self, place: str) -> tuple[Piece, ...]:
        """The pieces that the current of one load at the place runs through, from the output to the load."""
        on_the_way = [piece for piece in self.pieces if piece.feeds(place)]
        shared = [piece for piece in on_the_way if not piece.at_load]
        return (*shared, *[piece for piece in on_the_way if piece.at_load][:1])

    def splices_passed(self, place: str) -> int:
        """The number of splices between the output and a load at the place."""
        counts = dict(self.splices)
        return sum(counts[piece.end] for piece in self.path(place) if not piece.at_load)


def split_tree(tree: Tree, loads_at: Mapping[str, int], root: str, splice_wires: int) -> TreeWires:
    """Wire pieces and splices of a tree that feeds loads from one output.

    At a place meet the edges of the tree, the loads there, and at the root the output. Where three or more
    meet is a splice place with ``ceil((n - 2) / (splice_wires - 2))`` splices; pieces run between the output,
    the splice places and the loads. Each load at a splice place, and the output where the root is one, has
    its own piece of route length 0.

    Parameters
    ----------
    loads_at
        How many loads of the circuit sit at each place.
    splice_wires
        Most wires in one splice, at least 3.

    Raises
    ------
    ValueError
        If loads and tree do not fit together: no load at all, a load off the tree, or an end without one.
    """
    loads = {place: count for place, count in sorted(loads_at.items()) if count}
    further = children(tree.root, tree.edges)
    _fitting(tree, loads, root, further, splice_wires)
    # one wire comes in, from the tree or at the root from the output; the others go on
    meeting = {place: 1 + len(onward) + loads.get(place, 0) for place, onward in further.items()}
    downstream = _downstream(tree.edges, loads, further)
    pieces: list[Piece] = []
    starts: list[tuple[str, ...]] = [(root,)]
    while starts:
        places = starts.pop()
        while meeting[places[-1]] == 2 and places[-1] not in loads:
            places = (*places, further[places[-1]][0])
        end = places[-1]
        spliced = meeting[end] > 2
        pieces.append(_piece(places, downstream[end], at_load=not spliced))
        if spliced:
            pieces += [_piece((end,), {end: 1}, at_load=True)] * loads.get(end, 0)
            starts += [(end, onward) for onward in reversed(further[end])]
    splices = tuple(
        (place, -(-(count - 2) // (splice_wires - 2))) for place, count in sorted(meeting.items()) if count > 2
    )
    return TreeWires(pieces=tuple(pieces), splices=splices)


def _downstream(
    edges: Sequence[Edge], loads: Mapping[str, int], further: Mapping[str, Sequence[str]]
) -> dict[str, dict[str, int]]:
    """For each place, the loads at it and beyond."""
    beyond = {place: {place: loads[place]} if place in loads else {} for place in further}
    for before, here in reversed(edges):
        beyond[before] |= beyond[here]
    return beyond


def _piece(places: tuple[str, ...], downstream: Mapping[str, int], *, at_load: bool) -> Piece:
    return Piece(
        start=places[0],
        end=places[-1],
        places=places,
        downstream=tuple(sorted(downstream.items())),
        at_load=at_load,
    )


def _fitting(
    tree: Tree, loads: Mapping[str, int], root: str, further: Mapping[str, Sequence[str]], splice_wires: int
) -> None:
    if splice_wires < 3:
        raise ValueError(f"A splice of {splice_wires} wires joins nothing: give at least 3.")
    if root != tree.root:
        raise ValueError(f"The tree starts at '{tree.root}', not at '{root}'.")
    if not loads:
        raise ValueError("A circuit without loads has no wires.")
    for place in loads:
        if place not in further:
            raise ValueError(f"'{place}' has a load but is not on the tree.")
    for place, onward in further.items():
        if not onward and place not in loads:
            raise ValueError(f"The tree ends at '{place}', where there is no load.")
