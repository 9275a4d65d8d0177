"""Ways through the machine: routes, trees, and what crosses what."""

from allocator.routing.network import Network
from allocator.routing.routes import Route, RouteError, crossings

__all__ = ["Network", "Route", "RouteError", "crossings"]
