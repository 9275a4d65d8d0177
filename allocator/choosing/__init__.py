"""The mixed-integer model: one option per circuit, nothing non-linear left."""

from allocator.choosing.choose import NOTHING_FOUND, OPTIMAL, Choice, choose, held_against, pairs_of
from allocator.choosing.model import Model, build
from allocator.choosing.solver import Progress

__all__ = [
    "NOTHING_FOUND",
    "OPTIMAL",
    "Choice",
    "Model",
    "Progress",
    "build",
    "choose",
    "held_against",
    "pairs_of",
]
