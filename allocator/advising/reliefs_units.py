"""Ways out on the side of the units: ratings, outputs, what is kept free, sites, one more unit, heavier feeds."""

from __future__ import annotations

from dataclasses import replace

from allocator.advising.changed_units import (
    another,
    bank_rating,
    if_needed,
    more_outputs,
    more_sites,
    more_units,
    room_at_site,
    spare_current,
    spare_outputs,
    unit_rating,
)
from allocator.advising.changed_words import feed_cable
from allocator.advising.changes import Change
from allocator.advising.knobs import Bench, Relief, unchanged, up_a
from allocator.choosing.rows import Variable, at_most
from allocator.choosing.variables import spare_classes
from allocator.pricing import Kind, Slot, milliamperes_down
from allocator.pricing.slots import kinds
from allocator.problem import Fit, Problem, Unit, UnitType

MORE = 2
"""Units of a type, and units at a site, that a way out may add."""

MORE_OUTPUTS = 12


def _share(bench: Bench, slot: Slot) -> float:
    """What is left of a rating at a site, after ``unit_use``."""
    hot = slot.unit_type.hot_share(bench.problem.place_ambient_c(slot.site))
    return hot * bench.problem.margins.unit_use


def _roomy(problem: Problem) -> Problem:
    """Units that carry all that their outputs do: a heavier feed is only priced where the unit has use for it."""

    def roomy(own: UnitType) -> UnitType:
        outputs = sum(len(output.pins) * output.continuous_a for output in own.outputs)
        return replace(own, continuous_a=max(own.continuous_a, 2.0 * outputs))

    return replace(problem, unit_types=tuple(roomy(own) for own in problem.unit_types))


def _ratings(bench: Bench) -> None:
    v = bench.v
    raised: dict[tuple[str, str | None], Variable] = {}
    for slot in v.pricing.slots:
        own, share = bench.problem.unit_type[slot.unit.type], _share(bench, slot)
        key = (own.name, None)
        if key not in raised:
            raised[key] = bench.knob(1.0 / own.continuous_a, lambda a, t=own: _rating(t, a), None, whole=False)  # type: ignore[misc]
        limit = milliamperes_down(own.continuous_a * share)
        for name in bench.named(f"unit[{slot.index},"):
            bench.ease(name, (v.fit[slot.index], slot.limit_ma - limit), (raised[key], -1000.0 * share))
        for bank in own.banks:
            key = (own.name, bank.name)
            if key not in raised:
                raised[key] = bench.knob(
                    1.0 / bank.continuous_a,
                    lambda a, t=own, b=bank: (bank_rating(t, b.name, up_a(b.continuous_a + a)),),  # type: ignore[misc]
                    None,
                    whole=False,
                )
            for name in bench.named(f"bank[{slot.index},{bank.name},"):
                bench.ease(name, (raised[key], -1000.0 * share))


def _rating(own: UnitType, more_a: float) -> tuple[Change, ...]:
    return (unit_rating(own, up_a(own.continuous_a + more_a)),)


def _outputs(bench: Bench) -> None:
    v = bench.v
    more: dict[tuple[str, str, str | None], Variable] = {}
    for slot in v.pricing.slots:
        own = bench.problem.unit_type[slot.unit.type]
        for name in bench.named(f"outputs[{slot.index},"):
            for q in name[name.index(",") + 1 : -1].split("+"):
                group = slot.classes[int(q)]
                if group.pinned:
                    continue
                key = (own.name, group.output.name, group.bank)
                if key not in more:
                    more[key] = bench.knob(
                        1.0 / len(group.output.pins),
                        lambda n, t=own, o=group.output: (more_outputs(t, o, int(n)),),  # type: ignore[misc]
                        MORE_OUTPUTS,
                    )
                bench.ease(name, (more[key], -1.0))


def _spares(bench: Bench) -> None:
    v = bench.v
    for number, kind in enumerate(v.pricing.kinds):
        own = [slot for slot in v.pricing.slots if slot.kind == number]
        for name, asked in kind.sample.spare:
            if not asked or not own:
                continue
            knob = bench.knob(
                0.5 / asked,
                lambda n, k=kind, q=name, a=asked: (spare_outputs(k.units, q, a - int(n)),),  # type: ignore[misc]
                asked,
            )
            for slot in own:
                _give_up(bench, slot, name, asked, knob)
        if kind.sample.spare_current_a > 0.0:
            most = kind.sample.spare_current_a
            knob = bench.knob(0.5 / most, lambda a, k=kind: _less_reserve(k, a), most, whole=False)  # type: ignore[misc]
            for slot in own:
                for start in ("unit", "feedcurrent", "start"):
                    for row in bench.named(f"{start}[{slot.index},"):
                        bench.ease(row, (knob, -1000.0))


def _less_reserve(kind: Kind, less_a: float) -> tuple[Change, ...]:
    left = kind.sample.spare_current_a - up_a(less_a)
    return (spare_current(kind.units, max(0.0, round(left, 6))),)


def _give_up(bench: Bench, slot: Slot, name: str, asked: int, knob: Variable) -> None:
    """Spare outputs of a slot given up: no more than the knob says."""
    v, classes = bench.v, spare_classes(slot, name)
    given = v.add(f"given{slot.index},{name}", float(asked))
    bench.rows.append(at_most(f"given[{slot.index},{name}]", [(given, 1.0), (knob, -1.0)], 0))
    bench.rows.append(at_most(f"given if fitted[{slot.index},{name}]", [(given, 1.0), (v.fit[slot.index], -asked)], 0))
    free = sum(len(slot.classes[q].pins) for q in classes)
    if free < asked:
        bench.ease(f"spare[{slot.index},{name}]", (given, -1.0 / (asked - free)))
    elif len(classes) > 1:
        bench.ease(f"spare[{slot.index},{name}]", (given, 1.0))
        return
    for row in bench.named(f"outputs[{slot.index},"):
        if any(str(q) in row[row.index(",") + 1 : -1].split("+") for q in classes):
            bench.ease(row, (given, -1.0))


def _with_more_units(problem: Problem) -> Problem:
    """Two more of every kind of unit, and room for them."""
    added = []
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
    for number, kind in enumerate(v.pricing.kinds):
        old = [unit for unit in kind.units if unit.name in asked]
        if len(old) == len(kind.units):
            continue
        like = _like(bench.problem, kind)
        knob = bench.knob(
            1.0,
            lambda n, u=like: more_units(bench.problem, u, int(n)),  # type: ignore[misc]
            len(kind.units) - len(old),
        )
        fits = [(v.fit[s.index], 1.0) for s in v.pricing.slots if s.kind == number]
        bench.rows.append(at_most(f"more[{number}]", [*fits, (knob, -1.0)], len(old)))
    _room(bench)


def _like(problem: Problem, kind: Kind) -> Unit:
    own = kind.sample
    return next(
        u
        for u in problem.units
        if (u.type, set(u.sites) <= set(own.sites), u.source) == (own.type, True, own.source)
    )


def _room(bench: Bench) -> None:
    """Places hold as many units as they did, or more by a knob."""
    for place in bench.problem.places:
        fits = [(bench.v.fit[s.index], 1.0) for s in bench.v.pricing.slots if s.site == place.name]
        if len(fits) > place.units:
            knob = bench.knob(
                0.3,
                lambda n, p=place: (room_at_site(bench.problem, p.name, p.units + int(n)),),  # type: ignore[misc]
                MORE,
            )
            bench.rows.append(at_most(f"room[{place.name}]", [*fits, (knob, -1.0)], place.units))


def _with_sites(problem: Problem) -> Problem:
    """Units at every place where some unit may sit already."""
    known = tuple(dict.fromkeys(site for unit in problem.units for site in unit.sites))
    return _at(problem, known)


def _with_places(problem: Problem) -> Problem:
    """Units at every place of the machine."""
    return _at(problem, tuple(place.name for place in problem.places))


def _at(problem: Problem, sites: tuple[str, ...]) -> Problem:
    kind_of = {unit.name: number for number, kind in enumerate(kinds(problem)) for unit in kind.units}

    def at(unit: Unit) -> Unit:
        # kinds that differ in their sites alone must not become one: a trillionth of an ampere keeps them apart
        reserve = unit.spare_current_a + 1e-12 * kind_of[unit.name]
        return replace(unit, sites=tuple(dict.fromkeys((*unit.sites, *sites))), spare_current_a=reserve)

    return _with_room(replace(problem, units=tuple(at(unit) for unit in problem.units)))


def _sites(bench: Bench) -> None:
    v = bench.v
    for slot in v.pricing.slots:
        units = tuple(bench.problem.unit[u.name] for u in v.pricing.kinds[slot.kind].units)
        if slot.site not in units[0].sites and slot.copy == 0:
            knob = bench.knob(1.0, lambda _, u=units, s=slot.site: (more_sites(u, s),))  # type: ignore[misc]
            for own in v.pricing.slots:
                if (own.kind, own.site) == (slot.kind, slot.site):
                    bench.only_with(v.fit[own.index], 1.0, knob)
    _room(bench)


def _not_always(bench: Bench) -> None:
    for number, kind in enumerate(bench.v.pricing.kinds):
        always = [bench.problem.unit[u.name] for u in kind.units if u.fit is Fit.ALWAYS]
        for name in bench.named(f"always[{number}]"):
            knob = bench.knob(
                1.0,
                lambda n, u=tuple(always): tuple(if_needed(one) for one in u[-int(n) :]),  # type: ignore[misc]
                len(always),
            )
            bench.ease(name, (knob, 1.0))


HEAVY_MM2 = (70.0, 95.0, 120.0, 150.0, 185.0, 240.0)
"""Cross-sections above the common battery cables (IEC 60228 series)."""


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
    knobs: dict[str, Variable] = {}
    for feed in v.pricing.feeds:
        if feed.wire.size not in known:
            if feed.wire.size not in knobs:
                weight = 1.0 + feed.wire.area_mm2 / 1000.0
                knobs[feed.wire.size] = bench.knob(weight, lambda _, w=feed.wire: (feed_cable(w),))  # type: ignore[misc]
            bench.only_with(v.feed[feed.index], 1.0, knobs[feed.wire.size])


SPARES = Relief("spares", unchanged, _spares)
NOT_ALWAYS = Relief("fit", unchanged, _not_always)
MORE_UNITS = Relief("units", _with_more_units, _more_units)
SITES = Relief("sites", _with_sites, _sites)
PLACES = Relief("places", _with_places, _sites)
RATINGS = Relief("ratings", _roomy, _ratings)
OUTPUTS = Relief("outputs", unchanged, _outputs)
FEEDS = Relief("feeds", _with_heavy_feeds, _heavy_feeds)

__all__ = [
    "FEEDS",
    "MORE_UNITS",
    "NOT_ALWAYS",
    "OUTPUTS",
    "PLACES",
    "RATINGS",
    "SITES",
    "SPARES",
]
