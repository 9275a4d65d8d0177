"""Layouts of the demonstration problems, solved once for all tests: the processes of one run share them on disk.

A test that is about the search itself (its time, its progress, the same answer twice) solves for itself.
"""

from __future__ import annotations

import os
import pickle
from functools import cache
from pathlib import Path

from allocator.layout import Layout
from allocator.problem import Problem
from allocator.reading import read_problem
from allocator.search.solve import solve
from benchmarks.demonstrations import as_if_alone
from tests.paths import PROBLEMS

_shared: list[Path] = []


def share(folder: Path) -> None:
    """Keep layouts in a folder that the processes of this run, and of no other, share."""
    _shared[:] = [folder]


@cache
def demonstration(name: str, *, bundles: bool = True) -> Problem:
    """A demonstration problem as it stands, or with bundles off."""
    problem = read_problem(PROBLEMS / name)
    return problem if bundles else as_if_alone(problem)


@cache
def solved(name: str, *, bundles: bool = True, gap: float = 0.0) -> Layout:
    """Its layout, proven to within a gap."""
    problem = demonstration(name, bundles=bundles)
    if not _shared:
        return solve(problem, gap=gap)
    path = _shared[0] / f"{name}, bundles {bundles}, gap {gap}.pickle"
    if not path.exists():
        whole = path.with_suffix(f".{os.getpid()}")
        whole.write_bytes(pickle.dumps(solve(problem, gap=gap)))
        whole.replace(path)
    layout = pickle.loads(path.read_bytes())
    assert isinstance(layout, Layout)
    return layout
