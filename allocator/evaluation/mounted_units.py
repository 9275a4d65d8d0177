"""What a layout names, looked up in the problem."""

from __future__ import annotations

from allocator.evaluation.branches import Mounted
from allocator.layout import FittedUnit
from allocator.problem import Load, OutputClass, Problem, Run


def run_of(problem: Problem, load: Load, site: str) -> Run | None:
    """The length measured between a load (or its item) and a site; the load's own goes first."""
    return problem.run.get((load.name, site)) or problem.run.get((load.item, site))


def mount(problem: Problem, stated: FittedUnit) -> Mounted | None:
    """The unit and site that a layout names, None where the problem lacks one of them."""
    unit = problem.unit.get(stated.name)
    unit_type = problem.unit_type.get(unit.type) if unit is not None else None
    site = problem.place.get(stated.site)
    if unit is None or unit_type is None or site is None:
        return None
    return Mounted(
        unit=unit,
        type=unit_type,
        site=site,
        source=problem.source.get(unit.source),
        hot=unit_type.hot_share(problem.place_ambient_c(site.name)),
        stated=stated,
        class_of_pin={pin: one for one in unit_type.outputs for pin in one.pins},
    )


def mounts(problem: Problem, units: tuple[FittedUnit, ...]) -> dict[str, Mounted]:
    """Units at their sites by name; of a unit named twice the first counts."""
    found: dict[str, Mounted] = {}
    for unit in units:
        mounted = mount(problem, unit)
        if mounted is not None:
            found.setdefault(unit.name, mounted)
    return found


def class_of_pin(mounted: Mounted | None, pin: str) -> OutputClass | None:
    """The output class that a pin of a unit belongs to."""
    return None if mounted is None else mounted.class_of_pin.get(pin)
