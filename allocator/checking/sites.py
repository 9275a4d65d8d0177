"""Rules on units: which are fitted, and where."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from allocator.checking.report import Breach, number
from allocator.evaluation.context import Context
from allocator.problem import Fit
from allocator.problem.near_misses import near_miss


def unit_known(context: Context) -> Iterator[Breach]:
    """A fitted unit is one of the problem, of its type, and fitted once."""
    times = Counter(unit.name for unit in context.layout.units)
    for name, count in sorted(times.items()):
        object_ = f"unit {name}"
        known = context.problem.unit.get(name)
        if known is None:
            yield Breach(object_, count, "units", f"unit {name} is not a unit of the problem")
            continue
        if count > 1:
            yield Breach(object_, count - 1, "units", f"unit {name} is fitted {count} times")
        for unit in context.layout.units:
            if unit.name == name and unit.type != known.type:
                text = f"unit {name} is stated to be of type '{unit.type}', but is of type '{known.type}'"
                yield Breach(object_, 1, "unit", text)


def unit_fitted(context: Context) -> Iterator[Breach]:
    """A unit that must always be fitted is; a unit that feeds a circuit is fitted too."""
    there = {unit.name for unit in context.layout.units}
    for unit in context.problem.units:
        if unit.fit is Fit.ALWAYS and unit.name not in there:
            yield Breach(f"unit {unit.name}", 1, "unit", f"unit {unit.name} must be fitted, but has no site")
    absent = Counter(fed.circuit.unit for fed in context.circuits if fed.circuit.unit not in there)
    for name, count in sorted(absent.items()):
        known = context.problem.unit.get(name)
        if known is None or known.fit is not Fit.ALWAYS:
            near = near_miss(name, context.problem.unit, cutoff=0.6) if known is None else None
            text = f"unit {name} feeds {count} circuits, but is not fitted"
            text += "" if near is None else f"; '{near}' is perhaps meant"
            yield Breach(f"unit {name}", count, "circuits", text)


def unit_site(context: Context) -> Iterator[Breach]:
    """A unit sits at one of its sites."""
    for unit in context.layout.units:
        known = context.problem.unit.get(unit.name)
        if known is not None and unit.site not in known.sites:
            sites = ", ".join(known.sites)
            text = f"unit {unit.name} sits at '{unit.site}', not at one of its sites: {sites}"
            yield Breach(f"unit {unit.name}", 1, "site", text)


def site_count(context: Context) -> Iterator[Breach]:
    """A place takes no more units than it has room for."""
    times = Counter(unit.site for unit in context.layout.units)
    for name, count in sorted(times.items()):
        place = context.problem.place.get(name)
        if place is not None and count > place.units:
            text = f"place {name} holds {count} units, {count - place.units} more than it has room for"
            yield Breach(f"place {name}", count - place.units, "units", text)


def wet_site(context: Context) -> Iterator[Breach]:
    """A wet place takes sealed units only."""
    for unit in context.mounted.values():
        if unit.site.wet and not unit.type.sealed:
            text = f"unit {unit.name} is not sealed, but sits at {unit.site.name}, which is wet"
            yield Breach(f"unit {unit.name}", 1, "unit", text)


def hot_site(context: Context) -> Iterator[Breach]:
    """A site is not hotter than the last point of the unit's ``hot`` list."""
    for unit in context.mounted.values():
        ambient = context.problem.place_ambient_c(unit.site.name)
        last = unit.type.hot[-1][0] if unit.type.hot else ambient
        if unit.hot <= 0.0 or ambient > last:
            text = (
                f"unit {unit.name} sits at {unit.site.name} at {number(ambient)} degC, "
                f"{number(ambient - last)} K above its highest rated temperature, {number(last)} degC"
            )
            yield Breach(f"unit {unit.name}", ambient - last, "K", text)
