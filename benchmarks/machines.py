"""Machines of any size for benchmarks, made up by a seed.

Each has a layout by construction: its loads are dealt to the units first (``benchmarks.dealing``), the ratings of
units, banks and bulkheads are then what that layout takes and a share more. Everything is invented; currents are
common practice for 24 V, without a source.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from math import ceil
from random import Random

from allocator.problem import (
    Bank,
    Bulkhead,
    Bundling,
    ContactSet,
    Fit,
    Function,
    Load,
    Margins,
    OutputClass,
    Problem,
    Source,
    Unit,
    UnitType,
)
from allocator.reading import builtin_table
from allocator.routing import Network
from benchmarks.bodies import Body, body
from benchmarks.dealing import Asked, Home, Room, deal

FEATURES = frozenset(
    {"banks", "bridge", "bulkheads", "functions", "parallel", "pins", "share", "sources", "spread", "together"}
)
PLAIN: frozenset[str] = frozenset()
TIGHT = FEATURES | {"tight"}
"""All features, and bulkheads with no contact more than the dealt layout takes."""

CONDITIONS = ("driving", "night", "at work")
LEVELS = ((1.0, 1.0, 0.0), (0.0, 1.0, 1.0), (1.0, 1.0, 1.0), (0.3, 0.3, 1.0), (0.0, 0.0, 1.0), (0.5, 1.0, 0.5))
RATINGS = {"light": 4.0, "medium": 9.5, "heavy": 20.0}
DRAWS = {"light": (0.4, 2.8), "medium": (2.9, 6.6), "heavy": (7.5, 14.0), "parallel": (15.5, 23.5)}
MIX = ("light",) * 11 + ("medium",) * 7 + ("heavy",) * 2
WIRES = {"light": (0.5, 1.5), "medium": (0.5, 4.0), "heavy": (1.0, 6.0)}
CAPABILITIES = {"light": ("dim",), "medium": ("dim", "bridge"), "heavy": ("bridge",)}
SPARE = (("light", 1), ("medium", 1))
SPARE_A = 4.0
HOT = ((60.0, 1.0), (85.0, 0.7))
MOST_PLACES = 150
SLACK, LARGEST_SLACK = 1.15, 3.0


@dataclass(frozen=True, order=True)
class Size:
    """How many loads, units and sites a machine has; written ``60/3/6``."""

    loads: int
    units: int
    sites: int

    def __str__(self) -> str:
        return f"{self.loads}/{self.units}/{self.sites}"

    @staticmethod
    def of(text: str) -> Size:
        """The size written as ``60/3/6``."""
        loads, units, sites = (int(part) for part in text.split("/"))
        return Size(loads, units, sites)


def machine(size: Size, features: frozenset[str] = PLAIN, seed: int = 1) -> Problem:
    """A machine of a size with some of the features; the same seed gives the same machine."""
    random = Random(f"{size} {seed}")
    places, stud_a = min(14 + size.loads // 4, MOST_PLACES), max(500.0, 2.5 * size.loads)
    frame = body(random, places, size.sites, "bulkheads" in features, stud_a)
    asked = _loads(random, size, frame, features)
    slack = SLACK
    while slack < LARGEST_SLACK:
        made = _fitted(size, frame, asked, features, slack)
        if made is not None:
            return made
        slack += 0.05
    raise ValueError(f"no machine {size} with seed {seed}: too few loads for its units, try another size")


def _loads(random: Random, size: Size, frame: Body, features: frozenset[str]) -> list[Asked]:
    places = list(frame.zone)
    asked = []
    for n in range(size.loads):
        kind = random.choice(MIX)
        if "parallel" in features and n % 30 == 7:
            kind = "parallel"
        bridge = "bridge" in features and kind == "medium" and n % 5 == 0
        spread = round(random.choice([0.0, 0.0, 0.2]), 2) if "spread" in features else 0.0
        current = round(random.uniform(*DRAWS[kind]) / (1.0 + spread), 2)
        load = Load(
            name=f"load {n:03d}",
            item=f"load {n:03d}",
            place=random.choice(places),
            current_a=current,
            needs=("bridge",) if bridge else (),
            stall_a=round(4.0 * current, 2) if bridge else None,
            spread=spread,
            levels=random.choice(LEVELS),
        )
        asked.append(Asked(load, "heavy" if kind == "parallel" else kind, 2 if kind == "parallel" or bridge else 1))
    if "share" in features:
        asked = _share(asked, frame)
    if "together" in features:
        asked = _in_pairs(asked, "together", 12)
    if "functions" in features:
        asked = _in_pairs(asked, "function", 15)
    return asked


def _share(asked: list[Asked], frame: Body) -> list[Asked]:
    """Every other light load of a zone shares with up to four others there; they are switched together."""
    made, seen = [], Counter[str]()
    first: dict[str, Load] = {}
    for one in asked:
        zone = frame.zone[one.load.place]
        seen[zone] += one.output_class == "light"
        if one.output_class == "light" and seen[zone] % 2:
            word = f"{zone} lamps {seen[zone] // 10}"
            levels = first.setdefault(word, one.load).levels
            one = replace(one, load=replace(one.load, share=word, levels=levels))
        made.append(one)
    return made


def _in_pairs(asked: list[Asked], field: str, every: int) -> list[Asked]:
    """One pair of loads in ``every`` loads gets a word in common; loads that share or have a word are left out."""
    free = [n for n, a in enumerate(asked) if a.load.share is None and a.load.together is None and a.outputs == 1]
    pairs = list(zip(free[::2], free[1::2], strict=False))[: max(1, len(asked) // every)]
    made = list(asked)
    for number, pair in enumerate(pairs):
        for n in pair:
            one, word = asked[n], f"{field} {number}"
            made[n] = (
                replace(one, function=word)
                if field == "function"
                else replace(one, load=replace(one.load, together=word))
            )
    return made


def _fitted(size: Size, frame: Body, asked: list[Asked], features: frozenset[str], slack: float) -> Problem | None:
    """The machine with limits at ``slack`` times an even deal, or None where the loads do not go in."""
    unit_type = _unit_type(size, asked, features, slack)
    places = {place.name: place for place in frame.places}
    homes = []
    for n in range(size.units):
        site = frame.sites[round((n + 0.5) * size.sites / size.units - 0.5)]
        share = unit_type.hot_share(places[site].ambient_c or 45.0)
        rated: dict[str | None, float] = {b.name: b.continuous_a for b in unit_type.banks}
        limits = rated or {None: unit_type.continuous_a}
        rooms = [
            Room(
                {o.name: len(o.pins) - dict(SPARE).get(o.name, 0) for o in unit_type.outputs if o.bank == bank},
                [share * limit] * len(CONDITIONS),
            )
            for bank, limit in limits.items()
        ]
        homes.append(Home(f"unit {n}", site, rooms, [share * unit_type.continuous_a - SPARE_A] * len(CONDITIONS)))
    bare = _problem(size, frame, asked, unit_type, homes, features)
    network = Network(bare)
    if not deal(asked, homes, network, len(CONDITIONS)):
        return None
    return _with_features(bare, network, asked, homes, features)


def _unit_type(size: Size, asked: list[Asked], features: frozenset[str], slack: float) -> UnitType:
    banks = ("A", "B") if "banks" in features else (None,)
    total = max(sum(a.draw(len(CONDITIONS))[m] for a in asked) for m in range(len(CONDITIONS)))
    continuous = float(ceil(slack * total / size.units + SPARE_A + 15.0))
    outputs = []
    for bank in banks:
        for name, rating in RATINGS.items():
            needed = sum(a.outputs for a in asked if a.output_class == name)
            count = ceil(slack * needed / size.units / len(banks)) + dict(SPARE).get(name, 0) + 1
            outputs.append(
                OutputClass(
                    name=name,
                    bank=bank,
                    pins=tuple(f"{bank or ''}{name[0].upper()}{k}" for k in range(1, count + 1)),
                    continuous_a=rating,
                    wire_mm2=WIRES[name],
                    capabilities=CAPABILITIES[name],
                    parallel=2 if name == "heavy" else 1,
                    trip_step_a=0.5,
                )
            )
    return UnitType(
        name="box",
        continuous_a=continuous,
        mass_g=600.0,
        hot=HOT,
        banks=tuple(Bank(name=b, continuous_a=float(ceil(0.62 * continuous))) for b in banks if b is not None),
        outputs=tuple(outputs),
    )


def _problem(
    size: Size, frame: Body, asked: list[Asked], unit_type: UnitType, homes: list[Home], features: frozenset[str]
) -> Problem:
    """The machine before its bulkheads, functions and pins are drawn round the dealt layout."""
    middle = frame.of_zone("cabin")
    sources = [Source(name="main battery", place=middle[0])]
    if "sources" in features:
        sources.append(Source(name="second battery", place=middle[-1]))
    units = tuple(
        Unit(
            name=home.unit,
            type=unit_type.name,
            sites=frame.sites,
            source=sources[n % 3 == 1 and len(sources) > 1].name,
            fit=Fit.IF_NEEDED if n >= ceil(0.6 * size.units) else Fit.ALWAYS,
            spare=SPARE,
            spare_current_a=SPARE_A,
        )
        for n, home in enumerate(homes)
    )
    anything = ContactSet(count=10_000, wire_mm2=(0.1, 200.0))
    return Problem(
        name=f"machine {size}",
        nominal_v=24.0,
        running_v=27.2,
        lowest_v=23.0,
        conditions=CONDITIONS,
        loads=tuple(a.load for a in asked),
        places=frame.places,
        segments=frame.segments,
        unit_types=(unit_type,),
        units=units,
        sources=tuple(sources),
        wires=builtin_table("metric thin-wall"),
        feed_wires=builtin_table("metric battery cable"),
        bulkheads=tuple(Bulkhead(name=name, contacts=(anything,), studs=10_000) for name in frame.walls),
        margins=Margins(
            bundle=Bundling.NONE, branch_drop=0.04, feed_drop=0.03, robust=2 if "spread" in features else 0
        ),
    )


def _with_features(
    bare: Problem, network: Network, asked: list[Asked], homes: list[Home], features: frozenset[str]
) -> Problem:
    unit_of = {name: home.unit for home in homes for name in home.loads}
    loads = bare.loads
    if "pins" in features:
        loads = tuple(replace(x, unit=unit_of[x.name]) if n % 100 == 21 else x for n, x in enumerate(loads))
    crossings = Crossings(bare, network, asked, homes)
    more = 1.0 if "tight" in features else 3.0
    bulkheads = tuple(crossings.bulkhead(b.name, more) for b in bare.bulkheads)
    functions: dict[str, list[str]] = {}
    for one in asked:
        if one.function is not None:
            functions.setdefault(one.function, []).append(one.load.name)
    source_of = {name: bare.unit[unit].source for name, unit in unit_of.items()}
    made = []
    for name, members in functions.items():
        against = ["feed", "unit", "bank", "output"]
        if len({source_of[m] for m in members}) == len(members):
            against.append("source")
        if not crossings.all_lost_by_one_wall(members):
            against.append("bulkhead")
        made.append(Function(name=name, loads=tuple(members), survive=1, against=tuple(against)))
    return replace(bare, loads=loads, bulkheads=bulkheads, functions=tuple(made))


class Crossings:
    """What crosses which wall in the dealt layout, every wire on its shortest route."""

    def __init__(self, problem: Problem, network: Network, asked: list[Asked], homes: list[Home]):
        self.feeds = Counter[str]()
        self.thin, self.thick = Counter[str](), Counter[str]()
        self.lost: dict[str, set[str]] = {}
        home_of = {name: home for home in homes for name in home.loads}
        feed = {
            h.unit: network.shortest(problem.source[problem.unit[h.unit].source].place, h.site).bulkheads for h in homes
        }
        for walls in feed.values():
            self.feeds.update(walls)
        for one in asked:
            load, home = one.load, home_of[one.load.name]
            out = network.shortest(home.site, load.place).bulkheads * one.outputs
            stud = network.stud_of(load.place)
            back = () if load.bridge or stud is None else network.shortest(load.place, stud).bulkheads
            (self.thin if one.output_class == "light" else self.thick).update((*out, *back))
            self.lost[load.name] = {*out, *back, *feed[home.unit]}

    def bulkhead(self, name: str, more: float) -> Bulkhead:
        """A wall with ``more`` times the contacts that the layout takes there, at least one of each kind."""
        thin, thick = (max(1, ceil(more * count[name])) for count in (self.thin, self.thick))
        contacts = (
            ContactSet(count=thin, wire_mm2=(0.35, 2.5), resistance_ohm=0.002),
            ContactSet(count=thick, wire_mm2=(0.35, 10.0), resistance_ohm=0.002),
        )
        return Bulkhead(name=name, contacts=contacts, studs=max(1, ceil(more * self.feeds[name])))

    def all_lost_by_one_wall(self, loads: list[str]) -> bool:
        """Whether some wall takes all of these loads away."""
        return bool(set.intersection(*(self.lost[name] for name in loads)))
