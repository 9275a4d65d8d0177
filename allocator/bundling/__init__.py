"""Bundles: site by site, wires that the bundle they lie in asks too much of are told apart, until there are none."""

from allocator.bundling.search import bundled

__all__ = ["bundled"]
