"""The mixed-integer model: one option per circuit, nothing non-linear left."""

from allocator.choosing.choose import Choice, choose, held_against
from allocator.choosing.model import Model, build
from allocator.choosing.solver import Progress

__all__ = ["Choice", "Model", "Progress", "build", "choose", "held_against"]
