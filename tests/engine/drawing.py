"""How one problem is drawn, part by part.

Lengths, currents and areas have odd last digits, so that two layouts hardly ever cost the same, no limit is
met exactly, and no mass of copper lies halfway between two milligrams.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import log
from random import Random
from typing import Any

from allocator.problem import (
    CHASSIS,
    FAILURES,
    SOURCE,
    Bank,
    Bulkhead,
    Bundling,
    Cables,
    ContactSet,
    Fit,
    Function,
    GivenWire,
    Line,
    Load,
    Margins,
    OutputClass,
    Place,
    Prices,
    Problem,
    Run,
    Segment,
    Source,
    Supply,
    Unit,
    UnitType,
    Wire,
    WireRules,
    WireTable,
)


@dataclass(frozen=True)
class Size:
    """How large a drawn problem is: least and most of each."""

    loads: tuple[int, int]
    units: tuple[int, int]
    sites: tuple[int, int]
    places: tuple[int, int]
    outputs: tuple[int, int]
    classes: tuple[int, int]


def _odd(rng: Random, low: float, high: float) -> float:
    """A number of three decimals whose last digit is odd."""
    whole = round(1000 * rng.uniform(low, high))
    return (whole | 1) / 1000


def _table(name: str, areas: tuple[float, ...], classes: tuple[float, ...]) -> WireTable:
    wires = [
        Wire(
            size=f"{area:g} mm2",
            area_mm2=area,
            insulation_c=c,
            conductor_mm=1.31 * area**0.5,
            diameter_mm=1.31 * area**0.5 + 0.57 + 0.06 * log(1 + area),
            resistance_mohm_m=18.13 / area,
            mass_g_m=10.1 * area,
        )
        for area in areas
        for c in classes
    ]
    return WireTable(name=name, wires=tuple(wires))


class Drawing:
    """A problem in the making, from one stream of chance."""

    def __init__(self, rng: Random, on: frozenset[str], size: Size):
        self.rng, self.on, self.size = rng, on, size
        if on & {"share", "bulkheads", "bundles"}:
            self.on = on - {"straight"}
        self.bundling = Bundling.TABLE if self.sometimes("table", 1.0) else Bundling.HEAT
        if "bundles" not in on:
            self.bundling = Bundling.NONE
        self.place_names = [f"place {n}" for n in range(self.between(size.places))]
        few = rng.sample(("day", "night", "work"), rng.randint(2, 3))
        self.conditions = tuple(few) if "conditions" in on else ("all on",)

    def between(self, ends: tuple[int, int]) -> int:
        return self.rng.randint(*ends)

    def sometimes(self, feature: str, chance: float = 0.4) -> bool:
        """Whether a feature that is on is used here."""
        return feature in self.on and self.rng.random() < chance

    def problem(self) -> Problem:
        rng = self.rng
        bulkheads = self.bulkheads()
        places, segments = self.network(bulkheads)
        sources = self.sources()
        types = self.unit_types()
        units = self.units(types, sources)
        loads = self.loads(units, types)
        classes = (100.0, 150.0) if "insulation" in self.on else (100.0,)
        areas = (0.513, 1.027, 1.519, 2.531, 4.019, 6.031)
        shelf = tuple(f"{a:g} mm2" for a in areas if a not in areas[1:4:2]) if "shelf" in self.on else ()
        return Problem(
            name="drawn",
            nominal_v=12.0,
            running_v=13.6,
            lowest_v=11.5,
            loads=loads,
            places=places,
            segments=segments,
            unit_types=types,
            units=units,
            sources=sources,
            bulkheads=bulkheads,
            functions=self.functions(loads),
            runs=self.runs(loads, units),
            given_wires=self.given_wires(),
            conditions=self.conditions,
            wires=_table("drawn thin wire", areas, classes),
            feed_wires=_table("drawn cable", (1.523, 2.537, 4.057, 10.013, 25.033), classes),
            ambient_c=41.0,
            altitude_m=1870.0 if "altitude" in self.on else 0.0,
            margins=Margins(
                **self.bundles(),
                robust=rng.randint(1, 2) if "spread" in self.on else 0,
                tail_m=_odd(rng, 0.1, 0.4),
                ground_lead_m=_odd(rng, 0.1, 0.5),
                splice_wires=rng.choice((3, 4)),
                unit_use=0.97,
            ),
            prices=Prices(
                unused_output_g=_odd(rng, 2, 20),
                used_output_g=_odd(rng, 2, 25),
                splice_g=_odd(rng, 0, 4),
                unit_mass=rng.choice((0.1, 1.0)) if "mass" in self.on else 0.0,
            ),
            wire_rules=WireRules(sizes=shelf, smallest_mm2=rng.choice((0.45, 0.45, 0.95))),
        )

    def bundles(self) -> dict[str, Any]:
        """How bundles are held, and an allowance that makes some of them count."""
        if self.bundling is Bundling.NONE:
            return {"bundle": Bundling.NONE}
        rng = self.rng
        how = {
            "bundle": self.bundling,
            "cables": Cables.INSIDE if self.sometimes("inside", 1.0) else Cables.BESIDE,
            "ampacity": rng.choice((0.8, 0.5, 0.35)),
        }
        if self.bundling is Bundling.TABLE:
            how |= {"bundle_wires": rng.randint(3, 12), "bundle_loading": rng.choice((0.2, 0.4, 0.6, 0.8, 1.0))}
        return how

    def segment_bundles(self, *, spared: bool) -> dict[str, Any]:
        """What a segment says of its bundle; of one that may be ``spared``, which of wires and cables may pass."""
        rng = self.rng
        said: dict[str, Any] = {}
        if self.sometimes("conduit", 0.3):
            said["factor"] = rng.choice((0.6, 0.75, 0.9))
        if spared and self.sometimes("only", 0.7):
            said["only"] = rng.choice((Line.WIRE, Line.CABLE))
        if self.bundling is Bundling.TABLE and rng.random() < 0.3:
            said |= {"wires": rng.randint(1, 8), "loading": rng.choice((None, 0.4, 0.8))}
        return said

    def given_wires(self) -> tuple[GivenWire, ...]:
        rng, found = self.rng, []
        for n in range(rng.randint(1, 3) if "given" in self.on else 0):
            start, end = rng.sample(self.place_names, 2)
            size = rng.choice(("0.513 mm2", "1.519 mm2", "2.531 mm2", "4.057 mm2"))
            current = rng.choice((0.0, _odd(rng, 0.5, 3.0), _odd(rng, 3.0, 9.0)))
            found.append(
                GivenWire(name=f"wire {n}", start=start, end=end, size=size, cores=rng.randint(1, 4), current_a=current)
            )
        return tuple(found)

    def bulkheads(self) -> tuple[Bulkhead, ...]:
        if "bulkheads" not in self.on:
            return ()
        rng, found = self.rng, []
        for n in range(rng.randint(1, 2)):
            ohm = rng.choice((0.0, 0.0021))
            small = ContactSet(
                count=rng.randint(2, 7),
                wire_mm2=(0.45, 2.6),
                resistance_ohm=ohm,
                continuous_a=rng.choice((None, 9.3)),
            )
            large = ContactSet(count=rng.randint(1, 5), wire_mm2=(1.45, 6.2), resistance_ohm=ohm)
            sets = rng.choice(((small,), (large,), (small, large), (small, large)))
            found.append(Bulkhead(name=f"bulkhead {n}", contacts=sets, studs=rng.randint(0, 3)))
        return tuple(found)

    def network(self, bulkheads: tuple[Bulkhead, ...]) -> tuple[tuple[Place, ...], tuple[Segment, ...]]:
        """A tree of segments and one or two more; or places in space alone."""
        rng, names = self.rng, self.place_names
        straight = "straight" in self.on
        places = [
            Place(
                name=name,
                x_m=_odd(rng, 0, 3) if straight else None,
                y_m=_odd(rng, 0, 3) if straight else None,
                z_m=_odd(rng, 0, 1) if straight else None,
                ambient_c=_odd(rng, 30, 84) if self.sometimes("ambient") else None,
                wet=self.sometimes("wet", 0.2),
                stud_a=_odd(rng, 8, 60) if self.sometimes("studs", 0.5) else None,
                units=rng.randint(1, 2) if "sites" in self.on else 1,
            )
            for name in names
        ]
        if straight:
            return tuple(places), ()
        joined = [(names[rng.randrange(n)], names[n]) for n in range(1, len(names))]
        tree = len(joined)
        more = [(a, b) for n, a in enumerate(names) for b in names[:n] if (b, a) not in joined]
        joined += rng.sample(more, min(len(more), rng.randint(1, 2)))
        segments = [
            Segment(
                start=a,
                end=b,
                length_m=_odd(rng, 0.3, 3.1),
                ambient_c=_odd(rng, 35, 89) if self.sometimes("ambient", 0.3) else None,
                insulation_c=125.0 if self.sometimes("insulation", 0.3) else None,
                bulkhead=rng.choice(bulkheads).name if self.sometimes("bulkheads") else None,
                **self.segment_bundles(spared=n >= tree),
            )
            for n, (a, b) in enumerate(joined)
        ]
        return tuple(places), tuple(segments)

    def sources(self) -> tuple[Source, ...]:
        count = 2 if "sources" in self.on else 1
        places = [self.rng.choice(self.place_names) for _ in range(count)]
        return tuple(Source(name=f"battery {n}", place=place) for n, place in enumerate(places))

    def unit_types(self) -> tuple[UnitType, ...]:
        return tuple(self.unit_type(f"type {n}") for n in range(self.rng.randint(1, 2)))

    def unit_type(self, name: str) -> UnitType:
        rng = self.rng
        banks = tuple(Bank(name=b, continuous_a=_odd(rng, 12, 40)) for b in ("left", "right"))
        banks = banks if self.sometimes("banks", 0.8) else ()
        classes: list[OutputClass] = []
        for n in range(self.between(self.size.classes)):
            rating = rng.choice((9.7, 14.9, 23.3, 23.3))
            heavy, light, wide = (0.95, 6.2), (0.45, 2.6), (0.45, 6.2)
            drawn = OutputClass(
                name=f"class {n}",
                pins=tuple(f"{n}{letter}" for letter in "abc"[: self.between(self.size.outputs)]),
                continuous_a=rating,
                wire_mm2=rng.choice((light, wide) if rating < 10 else (heavy, wide)),
                bank=rng.choice(banks).name if banks else None,
                capabilities=tuple(
                    word
                    for word, feature in (("dim", "dim"), ("bridge", "bridge"), ("fast", "capabilities"))
                    if self.sometimes(feature, 0.7)
                ),
                parallel=rng.randint(2, 3) if self.sometimes("parallel", 0.7) else 1,
                parallel_use=0.91,
                trip_step_a=0.7,
            )
            if self.sometimes("trip lists", 0.6):
                trips = (3.0, 5.0, 7.5, 10.0, 15.0, 20.0)[: rng.randint(3, 6)]
                drawn = replace(drawn, trip_step_a=None, trips_a=tuple(t for t in trips if t <= rating))
            if self.sometimes("peaks", 0.7):
                short, long = (2.9 * rating, rng.choice((0.1, 0.3))), (1.7 * rating, rng.choice((1.0, 3.0)))
                drawn = replace(drawn, peaks=rng.choice(((short,), (short, long))), retries=rng.randint(0, 5))
            classes.append(drawn)
        if len(classes) > 1 and banks and rng.random() < 0.3:
            twin = replace(classes[0], pins=tuple(f"t{p}" for p in classes[0].pins[:1]))
            classes.append(replace(twin, bank=next(b.name for b in banks if b.name != classes[0].bank)))
        return UnitType(
            name=name,
            continuous_a=_odd(rng, 20, 70),
            outputs=tuple(classes),
            mass_g=rng.choice((130.0, 210.0)),
            hot=((50.0, 1.0), (85.0, 0.61)) if self.sometimes("hot", 0.8) else (),
            sealed=self.sometimes("wet", 0.5),
            banks=banks,
        )

    def units(self, types: tuple[UnitType, ...], sources: tuple[Source, ...]) -> tuple[Unit, ...]:
        rng = self.rng
        found: list[Unit] = []
        same = rng.random() < 0.3
        for n in range(self.between(self.size.units)):
            count = self.between(self.size.sites) if "several sites" in self.on else 1
            sites = rng.sample(self.place_names, count)
            kind = rng.choice(types)
            spare = ((kind.outputs[0].name, 1),) if self.sometimes("spares") else ()
            unit = Unit(
                name=f"unit {n}",
                type=kind.name,
                sites=tuple(sites),
                source=rng.choice(sources).name,
                fit=Fit.IF_NEEDED if self.sometimes("if needed", 0.6) else Fit.ALWAYS,
                spare=spare,
                spare_current_a=_odd(rng, 1, 6) if self.sometimes("spare_current", 0.6) else 0.0,
            )
            if same and found and "several sites" in self.on:
                unit = replace(found[0], name=unit.name)
            found.append(unit)
        return tuple(found)

    def loads(self, units: tuple[Unit, ...], types: tuple[UnitType, ...]) -> tuple[Load, ...]:
        rng = self.rng
        found: list[Load] = []
        for n in range(self.between(self.size.loads)):
            load = self.load(f"load {n}", f"item {n}")
            if found and rng.random() < 0.25:
                load = replace(found[-1], name=load.name)
            found.append(load)
        if "share" in self.on:
            group = rng.sample(range(len(found)), min(len(found), rng.randint(2, 4)))
            for n in group:
                small = min(found[n].current_a, _odd(rng, 0.4, 4.1))
                found[n] = replace(found[n], share="lamps", levels=found[group[0]].levels, current_a=small)
        if "together" in self.on:
            for n in rng.sample(range(len(found)), min(len(found), rng.randint(2, 3))):
                found[n] = replace(found[n], together="one unit")
        if "pins" in self.on:
            n, unit = rng.randrange(len(found)), rng.choice(units)
            kind = next(t for t in types if t.name == unit.type)
            pins = [p for c in kind.outputs if set(found[n].needs) <= set(c.capabilities) for p in c.pins]
            found[n] = replace(found[n], unit=unit.name, output=rng.choice((None, *pins)))
        return tuple(self.fused(self.started(load)) for load in found)

    def started(self, load: Load) -> Load:
        """The load with a start of more than it draws."""
        if not self.sometimes("starts", 0.5):
            return load
        times, seconds = self.rng.choice((1.3, 2.1, 3.7)), self.rng.choice((0.03, 0.09, 0.2, 0.6, 2.0))
        return replace(load, inrush_a=load.current_a * times, inrush_s=seconds)

    def fused(self, load: Load) -> Load:
        """The load fused at the source, where nothing about it asks for a unit."""
        free = not load.needs and load.share is None and load.together is None and load.unit is None
        return replace(load, supply=Supply.DIRECT) if free and self.sometimes("direct") else load

    def load(self, name: str, item: str) -> Load:
        rng = self.rng
        current = _odd(rng, 0.5, rng.choice((3.3, 5.9, 7.9, 15.7)))
        wanted = (("dim", "dim"), ("fast", "capabilities"), ("bridge", "bridge"))
        needs = tuple(word for word, feature in wanted if self.sometimes(feature, 0.25))
        place = rng.choice(self.place_names)
        ends = (CHASSIS, SOURCE, rng.choice(self.place_names)) if "returns" in self.on else (CHASSIS,)
        return Load(
            name=name,
            item=item,
            place=place,
            current_a=current,
            stall_a=current * rng.choice((1.93, 4.17)) if self.sometimes("stall") else None,
            max_trip_a=rng.choice((9.5, 12.3, 17.9)) if self.sometimes("max_trip") else None,
            needs=needs,
            max_drop=rng.choice((0.017, 0.023, 0.051)) if self.sometimes("max_drop") else None,
            min_volts_v=rng.choice((10.31, 10.83)) if self.sometimes("min_volts") else None,
            return_to=rng.choice(ends),
            lead_m=_odd(rng, 0.1, 0.9) if self.sometimes("lead") else 0.0,
            spread=_odd(rng, 0.05, 0.3) if self.sometimes("spread", 0.6) else 0.0,
            levels=tuple(rng.choice((0.0, 1.0, 1.0, 0.37)) for _ in self.conditions),
        )

    def functions(self, loads: tuple[Load, ...]) -> tuple[Function, ...]:
        if "functions" not in self.on:
            return ()
        rng = self.rng
        names = tuple(load.name for load in rng.sample(loads, min(len(loads), rng.randint(2, 3))))
        against = tuple(f for f in FAILURES if rng.random() < 0.2) or ("output",)
        survive = 1 if rng.random() < 0.7 else len(names) - 1
        return (Function(name="function", loads=names, survive=survive, against=against),)

    def runs(self, loads: tuple[Load, ...], units: tuple[Unit, ...]) -> tuple[Run, ...]:
        """Lengths measured to a load, or to all of an item."""
        items = [load.item for load in loads]
        names = sorted({load.name if items.count(load.item) == 1 else load.item for load in loads})
        sites = sorted({site for unit in units for site in unit.sites})
        return tuple(
            Run(load=name, site=site, length_m=self.rng.choice((0.0, _odd(self.rng, 0.2, 4.0))))
            for name in names
            for site in sites
            if self.sometimes("runs", 0.25)
        )
