"""The lists that a harness is built from, as data: files and workbook are written from these.

A list is added by a module that makes a `Table` of a `Build`, and its line in `LISTS`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING

from allocator.checking import Report, check
from allocator.layout import Layout
from allocator.problem import Problem
from allocator.reporting.lists.assumptions import assumptions
from allocator.reporting.lists.build import CUT_STEP_M, WASTE, Build
from allocator.reporting.lists.bulkheads import bulkheads
from allocator.reporting.lists.bundles import bundle_heat, bundles
from allocator.reporting.lists.currents import currents
from allocator.reporting.lists.cut_list import cut_list
from allocator.reporting.lists.feeds import feeds
from allocator.reporting.lists.listing import typed
from allocator.reporting.lists.outputs import outputs
from allocator.reporting.lists.shopping import shopping
from allocator.reporting.lists.splices import splices
from allocator.reporting.lists.studs import studs
from allocator.reporting.lists.trips import trips
from allocator.reporting.lists.violations import violations
from allocator.table import Table

if TYPE_CHECKING:
    from pandas import DataFrame

__all__ = ["LISTS", "Build", "build_of", "lists", "made"]

LISTS: tuple[Callable[[Build], Table], ...] = (
    violations, outputs, trips, cut_list, feeds, splices, studs, bulkheads, bundles, bundle_heat, currents, shopping,
)  # fmt: skip
"""Every list but the assumptions, in the order in which they are printed."""


def lists(
    problem: Problem, layout: Layout, *, cut_step_m: float = CUT_STEP_M, waste: float = WASTE
) -> Mapping[str, DataFrame]:
    """The lists of a layout as tables, by name; headings carry units.

    A layout made by hand is completed first, and one that breaks rules is listed all the same: they stand in
    ``violations``, and first in ``assumptions``.

    Parameters
    ----------
    cut_step_m
        Cut lengths are rounded up to whole steps of this.
    waste
        Share of wire to buy over what is cut.

    Raises
    ------
    ValueError
        When the step is not above 0, or the share below 0.
    """
    if not cut_step_m > 0.0 or not waste >= 0.0:
        given = f"a step of {cut_step_m:g} m and a waste of {waste:g}"
        raise ValueError(f"{given}: give a step above 0 and a share from 0 up.")
    build = build_of(problem, layout, cut_step_m=cut_step_m, waste=waste)
    return MappingProxyType({one.name: typed(one) for one in made(build)})


def build_of(
    problem: Problem,
    layout: Layout,
    in_place: Iterable[str] = (),
    *,
    cut_step_m: float = CUT_STEP_M,
    waste: float = WASTE,
    report: Report | None = None,
) -> Build:
    """What the lists are made of.

    Parameters
    ----------
    problem
        The problem.
    layout
        A layout of it.
    in_place
        Labels of wires that are there already.
    cut_step_m
        Cut lengths are rounded up to whole steps of this, in m.
    waste
        Share of wire to buy over what is cut.
    report
        The report of the layout's check; None: it is checked first.
    """
    report = check(problem, layout) if report is None else report
    return Build(problem, report, layout.problem_sha256, cut_step_m, waste, in_place=frozenset(in_place))


def made(build: Build) -> tuple[Table, ...]:
    """Every list of a layout, at the end what they rest on."""
    others = tuple(make(build) for make in LISTS)
    return (*others, assumptions(build, others))
