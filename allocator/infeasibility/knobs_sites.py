"""Ways out on the side of where units sit: more units, sites and room, heavier feeds."""

from __future__ import annotations

from dataclasses import replace

from allocator.changes.change import ProblemChange
from allocator.changes.of_loads import feed_cable
from allocator.changes.of_units import another, if_needed, more_sites, more_units, room_at_site
from allocator.infeasibility.knobs import Bench, Relief, unchanged
from allocator.model.keys import AlwaysFitted
from allocator.model.rows import Variable, at_most
from allocator.options import UnitGroup
from allocator.options.slots import unit_groups_of
from allocator.problem import Fit, Line, Place, Problem, Unit, Wire

MORE = 2
"""Units of a type, and units at a site, that a way out may add."""


def _with_more_units(problem: Problem) -> Problem:
    """Two more of every kind of unit, and room for them."""
    added: list[Unit] = []
    for unit in _one_of_each(problem):
        taken = {own.name for own in (*problem.units, *added)}
        for _ in range(MORE):
            added.append(another(unit, taken))
            taken.add(added[-1].name)
    return _with_room(replace(problem, units=(*problem.units, *added)))


def _one_of_each(problem: Problem) -> list[Unit]:
    return list({(u.type, tuple(sorted(u.sites)), u.source): u for u in reversed(problem.units)}.values())[::-1]


def _with_room(problem: Problem) -> Problem:
    return replace(problem, places=tuple(replace(p, units=p.units + MORE) for p in problem.places))


def _more_units(bench: Bench) -> None:
    v, asked = bench.v, {unit.name for unit in bench.problem.units}
    for number, unit_group in enumerate(v.option_list.unit_groups):
        new = [unit for unit in unit_group.units if unit.name not in asked]
        if new:
            knob = _added(bench, _like(bench.problem, unit_group), len(new))
            fits = [(v.fit[s.index], 1.0) for s in v.option_list.slots if s.unit_group == number]
            bench.rows.append(at_most(f"more[{number}]", [*fits, (knob, -1.0)], len(unit_group.units) - len(new)))
    _room(bench)


def _added(bench: Bench, like: Unit, most: int) -> Variable:
    def changes(count: float) -> tuple[ProblemChange, ...]:
        return more_units(bench.problem, like, int(count))

    return bench.knob(1.0, changes, most)


def _like(problem: Problem, unit_group: UnitGroup) -> Unit:
    """A unit of the problem that the new ones of a kind were made after."""
    own = unit_group.sample
    alike = (own.type, set(own.sites), own.source)
    return next(u for u in problem.units if (u.type, set(u.sites), u.source) == alike)


def _room(bench: Bench) -> None:
    """Places hold as many units as they did, or more by a knob."""
    for place in bench.problem.places:
        fits = [(bench.v.fit[s.index], 1.0) for s in bench.v.option_list.slots if s.site == place.name]
        if len(fits) > place.units:
            knob = _more_room(bench, place)
            bench.rows.append(at_most(f"room[{place.name}]", [*fits, (knob, -1.0)], place.units))


def _more_room(bench: Bench, place: Place) -> Variable:
    def changes(more: float) -> tuple[ProblemChange, ...]:
        return (room_at_site(bench.problem, place.name, place.units + int(more)),)

    return bench.knob(0.3, changes, MORE)


def _with_sites(problem: Problem) -> Problem:
    """Units at every place where some unit may sit already."""
    known = tuple(dict.fromkeys(site for unit in problem.units for site in unit.sites))
    return _at(problem, known)


def _with_places(problem: Problem) -> Problem:
    """Units at every place of the machine."""
    return _at(problem, tuple(place.name for place in problem.places))


def _at(problem: Problem, sites: tuple[str, ...]) -> Problem:
    group_of_unit = {
        unit.name: number for number, unit_group in enumerate(unit_groups_of(problem)) for unit in unit_group.units
    }

    def at(unit: Unit) -> Unit:
        # kinds that differ in their sites alone must not become one: a trillionth of an ampere keeps them apart
        reserve = unit.spare_current_a + 1e-12 * group_of_unit[unit.name]
        return replace(unit, sites=tuple(dict.fromkeys((*unit.sites, *sites))), spare_current_a=reserve)

    return _with_room(replace(problem, units=tuple(at(unit) for unit in problem.units)))


def _sites(bench: Bench) -> None:
    v = bench.v
    for slot in v.option_list.slots:
        units = tuple(bench.problem.unit[u.name] for u in v.option_list.unit_groups[slot.unit_group].units)
        if slot.site not in units[0].sites and slot.copy == 0:
            knob = _new_site(bench, units, slot.site)
            for own in v.option_list.slots:
                if (own.unit_group, own.site) == (slot.unit_group, slot.site):
                    bench.only_with(v.fit[own.index], 1.0, knob)
    _room(bench)


def _new_site(bench: Bench, units: tuple[Unit, ...], site: str) -> Variable:
    def changes(_: float) -> tuple[ProblemChange, ...]:
        return (more_sites(units, site),)

    return bench.knob(1.0, changes)


def _not_always(bench: Bench) -> None:
    for number, unit_group in enumerate(bench.v.option_list.unit_groups):
        always = tuple(bench.problem.unit[u.name] for u in unit_group.units if u.fit is Fit.ALWAYS)
        if always:
            bench.ease(AlwaysFitted(number), (_left_out(bench, always), 1.0))


def _left_out(bench: Bench, always: tuple[Unit, ...]) -> Variable:
    def changes(count: float) -> tuple[ProblemChange, ...]:
        return tuple(if_needed(unit) for unit in always[-int(count) :])

    return bench.knob(1.0, changes, len(always))


HEAVY_MM2 = (2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0, 95.0, 120.0, 150.0, 185.0, 240.0)
"""Cross-sections of cable (the series of IEC 60228, from memory); those above the largest of the table are tried."""


def _with_heavy_feeds(problem: Problem) -> Problem:
    largest = max(problem.feed_wires.wires, key=lambda w: (w.area_mm2, w.insulation_c))
    added = tuple(
        replace(
            largest,
            size=f"{area:g} mm2",
            area_mm2=area,
            conductor_mm=None,
            diameter_mm=None,
            resistance_mohm_m=None,
            mass_g_m=None,
            source="",
        )
        for area in HEAVY_MM2
        if area > largest.area_mm2 * 1.001
    )
    return replace(problem, feed_wires=replace(problem.feed_wires, wires=(*problem.feed_wires.wires, *added)))


def _heavy_feeds(bench: Bench) -> None:
    v, known = bench.v, {wire.size for wire in bench.problem.feed_wires.wires}
    laid = [(v.feed[feed.index], feed.wire) for feed in v.option_list.feeds]
    for direct in v.option_list.direct:
        laid += [(v.direct[direct.index], own.wire) for own in direct.plan.conductors if own.line is Line.CABLE]
    knobs: dict[str, Variable] = {}
    for column, wire in laid:
        if wire.size not in known:
            if wire.size not in knobs:
                knobs[wire.size] = _cable(bench, wire)
            bench.only_with(column, 1.0, knobs[wire.size])


def _cable(bench: Bench, wire: Wire) -> Variable:
    def changes(_: float) -> tuple[ProblemChange, ...]:
        return (feed_cable(wire),)

    return bench.knob(1.0 + wire.area_mm2 / 1000.0, changes)


NOT_ALWAYS = Relief("fit", unchanged, _not_always)
MORE_UNITS = Relief("units", _with_more_units, _more_units)
SITES = Relief("sites", _with_sites, _sites)
PLACES = Relief("places", _with_places, _sites)
FEEDS = Relief("feeds", _with_heavy_feeds, _heavy_feeds)
