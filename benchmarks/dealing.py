"""Loads dealt to units nearest first: a layout that the limits of a made-up machine are drawn round."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from allocator.problem import Load
from allocator.routing import Network


@dataclass
class Room:
    """What is left of one bank of one unit: outputs by class, amperes by condition."""

    outputs: dict[str, int]
    amperes: list[float]

    def takes(self, output_class: str, outputs: int, draw: Sequence[float]) -> bool:
        """Whether so many outputs of a class and so much current are left."""
        enough = self.outputs[output_class] >= outputs
        return enough and all(left >= more for left, more in zip(self.amperes, draw, strict=True))

    def take(self, output_class: str, outputs: int, draw: Sequence[float]) -> None:
        """Take them."""
        self.outputs[output_class] -= outputs
        self.amperes = [left - more for left, more in zip(self.amperes, draw, strict=True)]


@dataclass
class Home:
    """A unit at the site it is dealt to; ``amperes`` is what is left of its own limit, by condition."""

    unit: str
    site: str
    banks: list[Room]
    amperes: list[float]
    loads: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class Asked:
    """A load, the class and number of outputs it is dealt, and the words of functions whose units must differ."""

    load: Load
    output_class: str
    outputs: int
    function: str | None = None

    def draw(self, conditions: int) -> list[float]:
        """Amperes by condition, the whole spread included, a milliampere up for rounding."""
        return [self.load.full_current_a * self.load.heating(m) + 0.001 for m in range(conditions)]


def deal(asked: Sequence[Asked], homes: Sequence[Home], network: Network, conditions: int) -> bool:
    """Give every load to the nearest unit with room, the largest first; False where one finds none.

    Loads of one together word go to one unit, loads of one function to different ones.
    """
    blocks: dict[str, list[Asked]] = {}
    for one in asked:
        blocks.setdefault(one.load.together or one.load.name, []).append(one)
    ordered = sorted(blocks.values(), key=lambda b: (-max(a.load.full_current_a for a in b), b[0].load.name))
    functions = {a.load.name: a.function for a in asked}
    for block in ordered:
        near = sorted(homes, key=lambda h: (network.shortest(h.site, block[0].load.place).length_m, h.unit))
        if not any(_take(block, home, functions, conditions) for home in near):
            return False
    return True


def _take(block: list[Asked], home: Home, functions: dict[str, str | None], conditions: int) -> bool:
    """Put a block into a home, each load into the emptier bank that has room; nothing is taken unless all fit."""
    here = {functions[name] for name in home.loads} - {None}
    if any(one.function in here for one in block):
        return False
    own = list(home.amperes)
    rooms = [Room(dict(r.outputs), list(r.amperes)) for r in home.banks]
    for one in block:
        draw = one.draw(conditions)
        own = [left - more for left, more in zip(own, draw, strict=True)]
        fitting = [r for r in rooms if r.takes(one.output_class, one.outputs, draw)]
        if not fitting or min(own) < 0.0:
            return False
        max(fitting, key=lambda r: min(r.amperes)).take(one.output_class, one.outputs, draw)
    home.amperes, home.banks = own, rooms
    home.loads += [one.load.name for one in block]
    return True
