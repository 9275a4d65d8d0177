"""The body of a made-up machine: two side runs from nose to tail with cross ties, and branches off them."""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

from allocator.problem import Place, Segment

ZONES = ("nose", "cabin", "deck", "tail")
SIDES = ("left", "right")
LENGTH_M = 8.0
NOSE_C = 65.0


@dataclass(frozen=True)
class Body:
    """Places by zone, segments, places where a unit may be mounted, and the walls that segments pass."""

    places: tuple[Place, ...]
    zone: dict[str, str]
    segments: tuple[Segment, ...]
    sites: tuple[str, ...]
    walls: tuple[str, ...]

    def of_zone(self, zone: str) -> list[str]:
        """Places of a zone, in order."""
        return [name for name, own in self.zone.items() if own == zone]


def body(random: Random, places: int, sites: int, walls: bool, stud_a: float = 500.0) -> Body:
    """A body with at least ``places`` places, ``sites`` of them sites; the nose is hot, studs sit along the runs.

    With ``walls`` the runs pass a bulkhead between nose and cabin and one between deck and tail, on either side.
    """
    stations = max(2, (sites + 7) // 8 + 1)
    zone: dict[str, str] = {}
    segments: list[Segment] = []
    runs = {side: [f"{z} {side} {n}" for z in ZONES for n in range(1, stations + 1)] for side in SIDES}
    step = LENGTH_M / (len(ZONES) * stations)
    for side in SIDES:
        for before, after in zip([None, *runs[side]], runs[side], strict=False):
            zone[after] = after.split()[0]
            if before is not None:
                wall = _wall(zone[before], zone[after], side) if walls else None
                segments.append(_segment(random, before, after, step * random.uniform(0.9, 1.3), zone, wall))
    for left, right in zip(runs["left"][::stations], runs["right"][::stations], strict=True):
        segments.append(_segment(random, left, right, random.uniform(1.2, 1.9), zone, None))
    mounts = [name for pair in zip(*runs.values(), strict=True) for name in pair]
    along = list(zone)
    while len(zone) < places:
        root = along[random.randrange(len(along))]
        name = f"{zone[root]} {len(zone)}"
        zone[name] = zone[root]
        segments.append(_segment(random, root, name, random.uniform(0.2, 1.1), zone, None))
    chosen = tuple(mounts[round(n * (len(mounts) - 1) / max(1, sites - 1))] for n in range(sites))
    studs = set(along[::2])
    made = tuple(
        Place(name=name, ambient_c=NOSE_C if own == "nose" else None, stud_a=stud_a if name in studs else None)
        for name, own in zone.items()
    )
    names = tuple(dict.fromkeys(s.bulkhead for s in segments if s.bulkhead is not None))
    return Body(made, zone, tuple(segments), chosen, names)


def _wall(zone: str, other: str, side: str) -> str | None:
    walls = {("nose", "cabin"): "front wall", ("deck", "tail"): "rear wall"}
    wall = walls.get((zone, other))
    return None if wall is None else f"{wall} {side}"


def _segment(random: Random, start: str, end: str, length_m: float, zone: dict[str, str], wall: str | None) -> Segment:
    """Now and then a stretch is warmer than its surroundings, so that a longer way round can take a lighter wire."""
    ambient = NOSE_C if "nose" in (zone[start], zone[end]) else random.choice([None, None, None, 60.0])
    return Segment(start=start, end=end, length_m=round(length_m, 3), ambient_c=ambient, bulkhead=wall)
