"""Ways through the machine: routes, trees, the wires of a tree, and what crosses what."""

from allocator.routing.network import Network, network_of
from allocator.routing.pieces import Piece, TreeWires, split_tree
from allocator.routing.routes import CappedRoutes, Route, RouteError, crossings
from allocator.routing.trees import Tree

__all__ = [
    "CappedRoutes",
    "Network",
    "Piece",
    "Route",
    "RouteError",
    "Tree",
    "TreeWires",
    "crossings",
    "network_of",
    "split_tree",
]
