"""Currents of units and banks per condition, against their limits."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from allocator.layout import Circuit, FittedUnit, Layout
from allocator.problem import Load, Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class Loading:
    """One unit (``bank`` None) or one of its banks.

    ``current_a`` holds one figure per condition of the problem; ``limit_a`` is the rating at the ambient of
    the site x ``unit_use``, less the current kept in reserve.
    """

    unit: str
    bank: str | None
    current_a: tuple[float, ...]
    limit_a: float

    @property
    def use(self) -> float:
        """Worst condition as a share of the limit; infinite where there is current and no limit left."""
        worst = max(self.current_a, default=0.0)
        if self.limit_a > 0.0:
            return worst / self.limit_a
        return float("inf") if worst > 0.0 else 0.0


def loadings(problem: Problem, layout: Layout) -> tuple[Loading, ...]:
    """Loading of every fitted unit, each followed by its banks, in the order of the layout.

    Units, sites and loads that the problem does not have, as a hand may name them, are passed over.
    """
    known = [one for one in layout.units if one.name in problem.unit and one.site in problem.place]
    return tuple(loading for fitted in known for loading in _of_unit(problem, layout, fitted))


def _of_unit(problem: Problem, layout: Layout, fitted: FittedUnit) -> Iterable[Loading]:
    unit = problem.unit[fitted.name]
    unit_type = problem.unit_type[unit.type]
    share = unit_type.hot_share(problem.place_ambient_c(fitted.site)) * problem.margins.unit_use
    circuits = [circuit for circuit in layout.circuits if circuit.unit == fitted.name]
    yield Loading(
        unit=fitted.name,
        bank=None,
        current_a=_currents(problem, circuits),
        limit_a=unit_type.continuous_a * share - unit.spare_current_a,
    )
    for bank in unit_type.banks:
        yield Loading(
            unit=fitted.name,
            bank=bank.name,
            current_a=_currents(problem, [circuit for circuit in circuits if circuit.bank == bank.name]),
            limit_a=bank.continuous_a * share,
        )


def _currents(problem: Problem, circuits: Iterable[Circuit]) -> tuple[float, ...]:
    """Heating current per condition, with the ``robust`` largest spreads on top."""
    loads = [problem.load[name] for circuit in circuits for name in circuit.loads if name in problem.load]
    return tuple(_current(loads, index, problem.margins.robust) for index in range(len(problem.conditions)))


def _current(loads: Iterable[Load], condition: int, robust: int) -> float:
    heating = [(load.current_a * load.heating(condition), load.spread) for load in loads]
    extra = sorted((current * spread for current, spread in heating), reverse=True)
    return sum(current for current, _ in heating) + sum(extra[:robust])
