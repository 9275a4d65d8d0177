"""Slots: where each group of units may sit, and what its outputs are worth there."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from allocator.problem import Fit, OutputClass, Problem, Source, Unit, UnitType


@dataclass(frozen=True, slots=True)
class UnitGroup:
    """Units that are interchangeable (symmetry), alike in type, sites, source, spare and pins: counted, never named.

    Those that are always fitted stand first: they take the first of the slots that are used.
    """

    units: tuple[Unit, ...]

    @property
    def sample(self) -> Unit:
        """Any one of them."""
        return self.units[0]

    @property
    def always(self) -> int:
        """How many of them must be fitted."""
        return sum(1 for unit in self.units if unit.fit is Fit.ALWAYS)


@dataclass(frozen=True, slots=True)
class SlotClass:
    """Alike outputs of a slot: an output class of the type, less the pins that the user has pinned.

    ``rating_a`` is the continuous rating at the site's ambient. ``pinned`` marks a class of one pinned pin.
    """

    output: OutputClass
    pins: tuple[str, ...]
    rating_a: float
    pinned: bool = False

    @property
    def bank(self) -> str | None:
        """Bank that the outputs belong to."""
        return self.output.bank


@dataclass(frozen=True, slots=True)
class Slot:
    """A group of units at a site; ``copy`` numbers alike units at one site.

    Limits are in whole milliamperes at the site's ambient, after ``unit_use``, before ``spare_current``.
    """

    index: int
    unit_group: int
    copy: int
    site: str
    unit: Unit
    unit_type: UnitType
    source: Source
    classes: tuple[SlotClass, ...]
    limit_ma: int
    bank_limit_ma: tuple[tuple[str, int], ...]
    spare_current_ma: int

    @property
    def name(self) -> str:
        """Words for messages."""
        return f"unit {self.unit.name} at {self.site}"

    @property
    def outputs(self) -> int:
        """Number of outputs."""
        return sum(len(group.pins) for group in self.classes)

    @property
    def spare(self) -> int:
        """Number of outputs to keep free."""
        return sum(count for _, count in self.unit.spare)


def milliamperes_up(current_a: float) -> int:
    """Whole milliamperes, rounded up (a tolerance of a nanoampere for the float)."""
    from math import ceil

    return ceil(1000.0 * current_a - 1e-6)


def milliamperes_down(limit_a: float) -> int:
    """Whole milliamperes of a limit, rounded down."""
    from math import floor

    return floor(1000.0 * limit_a + 1e-6)


def unit_groups_of(problem: Problem, apart: Iterable[str] = ()) -> tuple[UnitGroup, ...]:
    """Units in groups, in the order of their first member.

    A unit with a pinned load stands alone, and so do those named ``apart``.
    """
    pinned = {*apart, *(load.unit for load in problem.loads if load.unit is not None)}
    groups: dict[object, list[Unit]] = {}
    for unit in problem.units:
        alike = (unit.type, tuple(sorted(unit.sites)), unit.source, tuple(sorted(unit.spare)), unit.spare_current_a)
        groups.setdefault((alike, unit.name if unit.name in pinned else None), []).append(unit)
    return tuple(UnitGroup(tuple(sorted(units, key=lambda u: u.fit is not Fit.ALWAYS))) for units in groups.values())


def slots(problem: Problem, unit_groups: Iterable[UnitGroup]) -> tuple[Slot, ...]:
    """Every (group, site) where the group may be mounted: not an unsealed type in the wet, not above its ``hot``."""
    found: list[Slot] = []
    for number, unit_group in enumerate(unit_groups):
        unit = unit_group.sample
        unit_type = problem.unit_type[unit.type]
        for site in sorted(set(unit.sites)):
            place = problem.place[site]
            share = unit_type.hot_share(problem.place_ambient_c(site))
            if share <= 0.0 or (place.wet and not unit_type.sealed):
                continue
            use = problem.margins.unit_use * share
            for copy in range(min(len(unit_group.units), place.units)):
                found.append(
                    Slot(
                        index=len(found),
                        unit_group=number,
                        copy=copy,
                        site=site,
                        unit=unit,
                        unit_type=unit_type,
                        source=problem.source[unit.source],
                        classes=_classes(problem, unit, unit_type, share),
                        limit_ma=milliamperes_down(unit_type.continuous_a * use),
                        bank_limit_ma=tuple(
                            (bank.name, milliamperes_down(bank.continuous_a * use)) for bank in unit_type.banks
                        ),
                        spare_current_ma=milliamperes_up(unit.spare_current_a),
                    )
                )
    return tuple(found)


def _classes(problem: Problem, unit: Unit, unit_type: UnitType, share: float) -> tuple[SlotClass, ...]:
    """Output classes at the site; each pinned pin becomes a class of its own, so that nobody else takes it."""
    taken = {load.output for load in problem.loads if load.unit == unit.name and load.output is not None}
    classes = []
    for output in unit_type.outputs:
        rating = output.continuous_a * share
        free = tuple(pin for pin in output.pins if pin not in taken)
        if free:
            classes.append(SlotClass(output, free, rating))
        classes += [SlotClass(output, (pin,), rating, pinned=True) for pin in output.pins if pin in taken]
    return tuple(classes)
