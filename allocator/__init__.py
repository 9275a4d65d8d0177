"""Decides which output of which power-distribution unit feeds each load of a vehicle or boat.

The public names are looked up when they are first used, so that ``import allocator`` costs nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from allocator.advising.comparison import compare
    from allocator.advising.demand import demand
    from allocator.advising.energy import energy
    from allocator.advising.failures import failures
    from allocator.advising.headroom import headroom
    from allocator.advising.infeasibility import why_not
    from allocator.advising.revising import Revision, revise
    from allocator.advising.tradeoff import Tradeoff, tradeoff
    from allocator.advising.why import explain
    from allocator.checking import check
    from allocator.importing.understanding import read_schedule
    from allocator.importing.workbook import write_workbook
    from allocator.layout import Layout, LayoutError
    from allocator.problem import Problem, ProblemError
    from allocator.reading import read_problem
    from allocator.showing.lists import lists
    from allocator.solving import solve

__all__ = [
    "Layout",
    "LayoutError",
    "Problem",
    "ProblemError",
    "Revision",
    "Tradeoff",
    "check",
    "compare",
    "demand",
    "energy",
    "explain",
    "failures",
    "headroom",
    "lists",
    "read_problem",
    "read_schedule",
    "revise",
    "solve",
    "tradeoff",
    "why_not",
    "write_workbook",
]

_HOMES = {
    "Layout": "allocator.layout",
    "LayoutError": "allocator.layout",
    "Problem": "allocator.problem",
    "ProblemError": "allocator.problem",
    "Revision": "allocator.advising.revising",
    "Tradeoff": "allocator.advising.tradeoff",
    "check": "allocator.checking",
    "compare": "allocator.advising.comparison",
    "demand": "allocator.advising.demand",
    "energy": "allocator.advising.energy",
    "explain": "allocator.advising.why",
    "failures": "allocator.advising.failures",
    "headroom": "allocator.advising.headroom",
    "lists": "allocator.showing.lists",
    "read_problem": "allocator.reading",
    "read_schedule": "allocator.importing.understanding",
    "revise": "allocator.advising.revising",
    "solve": "allocator.solving",
    "tradeoff": "allocator.advising.tradeoff",
    "why_not": "allocator.advising.infeasibility",
    "write_workbook": "allocator.importing.workbook",
}


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module 'allocator' has no attribute '{name}'")
    value = getattr(import_module(_HOMES[name]), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
