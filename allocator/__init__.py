"""Decides which output of which power-distribution unit feeds each load of a vehicle or boat.

The public names are looked up when they are first used, so that ``import allocator`` costs nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from allocator.analysis.comparison import compare
    from allocator.analysis.energy import energy
    from allocator.analysis.failures import failures
    from allocator.analysis.headroom import headroom
    from allocator.checking import check
    from allocator.explaining.why import explain
    from allocator.importing.understanding import read_schedule
    from allocator.importing.workbook import write_workbook
    from allocator.infeasibility.why_not import why_not
    from allocator.layout import Layout, LayoutError
    from allocator.load_demand import demand
    from allocator.pareto_front import Tradeoff, tradeoff
    from allocator.problem import Problem, ProblemError
    from allocator.reading import read_problem
    from allocator.reporting.lists import lists
    from allocator.revising import Revision, revise
    from allocator.search.solve import solve

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
    "Revision": "allocator.revising",
    "Tradeoff": "allocator.pareto_front",
    "check": "allocator.checking",
    "compare": "allocator.analysis.comparison",
    "demand": "allocator.load_demand",
    "energy": "allocator.analysis.energy",
    "explain": "allocator.explaining.why",
    "failures": "allocator.analysis.failures",
    "headroom": "allocator.analysis.headroom",
    "lists": "allocator.reporting.lists",
    "read_problem": "allocator.reading",
    "read_schedule": "allocator.importing.understanding",
    "revise": "allocator.revising",
    "solve": "allocator.search.solve",
    "tradeoff": "allocator.pareto_front",
    "why_not": "allocator.infeasibility.why_not",
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
