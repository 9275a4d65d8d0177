"""Copper against outputs used or units fitted, for every count there is: the points that no other beats."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from allocator.problem import Prices, Problem
from tests.oracle.brute import _Search, _sitings
from tests.oracle.lazily import total
from tests.oracle.model import _Oracle
from tests.oracle.options import FeedOption, Option, feeds, options

Points = list[tuple[int, float]]
"""(count, least copper in grams), by rising count."""


def points_by_cp_sat(problem: Problem, against: str) -> Points:
    """Least copper for each count by itself, by CP-SAT; then those that no other beats."""
    return _unbeaten(dict(_each_count(_copper_only(problem), against)))


def points_by_trying_all(problem: Problem, against: str) -> Points:
    """The same from every layout there is. For problems of two or three loads."""
    bare = _copper_only(problem)
    search = _Enumeration(bare, options(bare), feeds(bare), against)
    for sites in _sitings(bare):
        search.best(sites, None)
    return _unbeaten(search.least)


def _copper_only(problem: Problem) -> Problem:
    prices = Prices(used_output_g=0, unused_output_g=0, splice_g=0, unit_mass=0, move_g=0)
    return replace(problem, prices=prices)


def _each_count(problem: Problem, against: str) -> Iterator[tuple[int, int]]:
    pins = sum(len(c.pins) for u in problem.units for c in problem.unit_type[u.type].outputs)
    for count in range((len(problem.units) if against == "units" else pins) + 1):
        oracle = _Oracle(problem)
        terms = [(1, v) for v in oracle.fit.values()]
        if against == "outputs":
            terms = [(len(o.pins), v) for o, v in oracle.take]
        oracle.model.add(total(terms) == count)
        least = oracle.least_mg()
        if least is not None:
            yield count, least


def _unbeaten(least_mg: dict[int, int]) -> Points:
    points: Points = []
    for count, copper in sorted(least_mg.items()):
        if not points or copper / 1000 < points[-1][1]:
            points.append((count, copper / 1000))
    return points


@dataclass(frozen=True)
class _Enumeration(_Search):
    """The search that gives nothing up for being dear, and keeps the least copper for each count."""

    against: str = "outputs"
    least: dict[int, int] = field(default_factory=dict)

    def extend(
        self,
        sites: dict[str, str],
        cables: dict[str, list[FeedOption]],
        by_load: dict[str, list[Option]],
        chosen: tuple[Option, ...],
        cost: int,
        best: int | None,  # noqa: ARG002
    ) -> int | None:
        return super().extend(sites, cables, by_load, chosen, cost, None)

    def with_feeds(
        self,
        sites: dict[str, str],
        cables: dict[str, list[FeedOption]],
        chosen: tuple[Option, ...],
        cost: int,
        best: int | None,  # noqa: ARG002
    ) -> int | None:
        found = super().with_feeds(sites, cables, chosen, cost, None)
        if found is not None:
            count = len(sites) if self.against == "units" else sum(len(o.pins) for o in chosen)
            self.least[count] = min(found, self.least.get(count, found))
        return None
