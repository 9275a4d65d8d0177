"""Decides which output of which power-distribution unit feeds each load of a vehicle or boat.

The public names are looked up when they are first used, so that ``import allocator`` costs nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from allocator.advising.comparison import compare
    from allocator.advising.energy import energy
    from allocator.advising.failures import failures
    from allocator.advising.headroom import headroom
    from allocator.checking import check
    from allocator.layout import Layout, LayoutError
    from allocator.problem import Problem, ProblemError
    from allocator.reading import read_problem
    from allocator.solving import solve

__all__ = [
    "Layout",
    "LayoutError",
    "Problem",
    "ProblemError",
    "check",
    "compare",
    "energy",
    "failures",
    "headroom",
    "read_problem",
    "solve",
]

_HOMES = {
    "Layout": "allocator.layout",
    "LayoutError": "allocator.layout",
    "Problem": "allocator.problem",
    "ProblemError": "allocator.problem",
    "check": "allocator.checking",
    "compare": "allocator.advising.comparison",
    "energy": "allocator.advising.energy",
    "failures": "allocator.advising.failures",
    "headroom": "allocator.advising.headroom",
    "read_problem": "allocator.reading",
    "solve": "allocator.solving",
}


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module 'allocator' has no attribute '{name}'")
    value = getattr(import_module(_HOMES[name]), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
