"""The mixed-integer model: one option per circuit, nothing non-linear left."""

from allocator.model.model import Model, build
from allocator.model.optimise import optimise
from allocator.model.solution import NOTHING_FOUND, OPTIMAL, Solution, pairs_of, with_bound
from allocator.model.solver import Progress

__all__ = [
    "NOTHING_FOUND",
    "OPTIMAL",
    "Model",
    "Progress",
    "Solution",
    "build",
    "optimise",
    "pairs_of",
    "with_bound",
]
