"""Layouts of one problem side by side, those made by hand and those that break rules as well."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING

from allocator.analysis.failures import Failures, failures_of
from allocator.analysis.layout_differences import Difference, UnitDifference, differences, unit_differences
from allocator.analysis.margins import Margin, margins_of
from allocator.analysis.unit_loading import Loading, loadings
from allocator.analysis.wire_lengths import SizeLength, lengths
from allocator.checking import Violation, check
from allocator.layout import Layout, Totals
from allocator.notebook import shown
from allocator.problem import Problem
from allocator.table import Row, Table, columns_of, keyed, table_of, text, texts

if TYPE_CHECKING:
    from pandas import DataFrame


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """One layout of a comparison, completed and recomputed; ``violations`` are the rules that it breaks.

    ``of_this_state`` False: it states that it was made for another state of the problem, and so its status.
    """

    name: str
    layout: Layout
    violations: tuple[Violation, ...]
    lengths: tuple[SizeLength, ...]
    weakest: tuple[Margin, ...]
    loadings: tuple[Loading, ...]
    failures: Failures
    of_this_state: bool = True

    @property
    def totals(self) -> Totals:
        """Recomputed totals."""
        assert self.layout.totals is not None  # the check always gives them
        return self.layout.totals

    @property
    def figures(self) -> dict[str, float | int | str | None]:
        """Status, number of violations, objective and totals, by name; masses in g, lengths in m."""
        own: dict[str, float | int | str | None] = {
            "status": self.layout.status,
            "violations": len(self.violations),
            "objective_g": self.layout.objective_g,
            "gap": self.layout.gap,
        }
        return own | asdict(self.totals)


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Layouts of one problem, and what differs between them: units with their feeds, and circuits."""

    problem: str
    conditions: tuple[str, ...]
    layouts: tuple[Compared, ...]
    units: tuple[UnitDifference, ...]
    circuits: tuple[Difference, ...]

    def _repr_html_(self) -> str:
        facts = [("units that differ", len(self.units)), ("circuits that differ", len(self.circuits))]
        columns = texts("", *(one.name for one in self.layouts))
        figures = [one.figures for one in self.layouts]
        rows = tuple((key, *(one[key] for one in figures)) for key in figures[0])
        return shown(f"{self.problem}: layouts side by side", facts, Table(columns=columns, rows=rows))

    def frame(self) -> DataFrame:
        """One row per figure, one column per layout; figures as in `Compared.figures`."""
        from pandas import DataFrame

        return DataFrame({one.name: one.figures for one in self.layouts}, dtype=object)

    def length_frame(self) -> DataFrame:
        """One row per layout, use, size and insulation; lengths in m, copper in g."""
        rows = [{"layout": one.name, **asdict(length)} for one in self.layouts for length in one.lengths]
        return table_of((text("layout"), *columns_of(SizeLength)), rows).frame()

    def loading_frame(self) -> DataFrame:
        """One row per layout, unit or bank, and condition; currents in A. ``bank`` None: the unit itself."""
        columns = keyed("layout", "unit", "bank", "condition", "current_a", "limit_a")
        return Table(columns=columns, rows=tuple(self._loads())).frame()

    def _loads(self) -> Iterator[Row]:
        for one in self.layouts:
            for loading in one.loadings:
                for condition, current in zip(self.conditions, loading.current_a, strict=True):
                    yield one.name, loading.unit, loading.bank, condition, current, loading.limit_a

    def violation_frame(self) -> DataFrame:
        """One row per rule that a layout breaks."""
        rows = [{"layout": one.name, **asdict(broken)} for one in self.layouts for broken in one.violations]
        return table_of((text("layout"), *columns_of(Violation)), rows).frame()

    def failure_frame(self) -> DataFrame:
        """One row per layout, failure and condition; columns as in `Failures.frame`."""
        from pandas import concat

        return concat([one.failures.frame().assign(layout=one.name) for one in self.layouts], ignore_index=True)

    def circuit_frame(self) -> DataFrame:
        """One row per circuit that differs and layout; masses in g, trips and fuses in A."""
        keys = ("differs", "pins_only", "layout", "loads", "origin", "pins", "guard_a", "sizes", "copper_g")
        return Table(columns=keyed(*keys), rows=tuple(self._circuits())).frame()

    def _circuits(self) -> Iterator[Row]:
        for difference in self.circuits:
            for one, ways in zip(self.layouts, difference.ways, strict=True):
                for way in ways:
                    sizes = "; ".join(dict.fromkeys(size for _, size, _, _ in way.wires))
                    own = ("; ".join(way.loads), way.origin, "; ".join(way.pins), way.guard_a, sizes, way.copper_g)
                    yield ("; ".join(difference.loads), difference.pins_only, one.name, *own)


def compare(problem: Problem, layouts: Mapping[str, Layout]) -> Comparison:
    """Layouts of a problem side by side.

    Parameters
    ----------
    layouts
        By the name that each is to have in the comparison. One made by hand is completed as `check` does; one
        that breaks rules is compared all the same, with its violations.

    Raises
    ------
    ValueError
        When there is none.
    """
    if not layouts:
        raise ValueError("No layout to compare. Give at least one; two or more show what differs.")
    compared = tuple(_compared(problem, name, layout) for name, layout in layouts.items())
    completed = [one.layout for one in compared]
    return Comparison(
        problem=problem.name,
        conditions=problem.conditions,
        layouts=compared,
        units=unit_differences(completed),
        circuits=differences(problem, completed),
    )


def _compared(problem: Problem, name: str, layout: Layout) -> Compared:
    report = check(problem, layout)
    context = report.context
    return Compared(
        name=name,
        layout=report.layout,
        violations=report.violations,
        lengths=lengths(report.layout),
        weakest=margins_of(context).weakest(),
        loadings=loadings(problem, report.layout),
        failures=failures_of(context),
        of_this_state=layout.problem_sha256 in ("", problem.digest),
    )
