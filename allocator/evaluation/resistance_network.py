"""A whole layout as a network of resistances: what is joined to what, and what each load draws where."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import NamedTuple

from allocator.evaluation.branches import Branch, Fed
from allocator.evaluation.context import Context
from allocator.evaluation.joints import TRUNK, splices_needed
from allocator.evaluation.laid_conductors import Conductor
from allocator.layout import PlacedWire
from allocator.problem import SOURCE, Load
from allocator.wiring import SPLICE_OHM

IDLE_A = 1e-6
"""Current at which a conductor that carries nothing is taken, for its resistance."""


class Node(NamedTuple):
    """A point of the layout. ``live``: on the side of the sources' plus; ``held``: a terminal of a source or ground."""

    label: str
    live: bool
    held: bool


class Resistance(NamedTuple):
    """What lies between two nodes, each given by its number."""

    start: int
    end: int
    ohm: float


class Draw(NamedTuple):
    """A load between its terminals; ``origin`` is the output or source that its wires start at."""

    load: Load
    origin: int
    plus: int
    minus: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """Nodes, what joins them and what is drawn; ``unknown`` names loads whose wires are not all resolved."""

    nodes: tuple[Node, ...]
    resistances: tuple[Resistance, ...]
    draws: tuple[Draw, ...]
    unknown: tuple[str, ...]


def grid_of(context: Context) -> Grid:
    """The network of a layout: sources, feeds, wires, contacts, splices, loads, returns, ground.

    A wire has the resistance that its drop is told by: at the temperature that its full current gives, whatever
    it carries in a condition. Its contacts stand at its end, where a node lies before them. Outputs are the unit
    itself: nothing is lost inside. Sources and grounds are ideal, and the ground wire of a unit, through which
    the current of a bridge returns, is taken to have no resistance.
    """
    drawing = _Drawing(context)
    for name, feed in context.feeds.items():
        drawing.feed(name, feed)
    for branch in context.branches:
        drawing.branch(branch)
    return Grid(
        nodes=tuple(drawing.nodes),
        resistances=tuple(drawing.resistances),
        draws=tuple(drawing.draws),
        unknown=tuple(drawing.unknown),
    )


class _Drawing:
    def __init__(self, context: Context):
        self.context = context
        self.nodes: list[Node] = []
        self.resistances: list[Resistance] = []
        self.draws: list[Draw] = []
        self.unknown: list[str] = []
        self._held: dict[str, int] = {}
        self._units: dict[str, int] = {}

    def feed(self, name: str, feed: Conductor) -> None:
        source = self.context.mounted[name].source
        if source is not None and feed.drop_v is not None:
            self._units[name] = self._node(f"unit {name}", live=True)
            self._wire(feed, self._terminal(source.name), self._units[name])

    def branch(self, branch: Branch) -> None:
        origin = self._origin(branch)
        if origin is None or not _resolved(branch):
            self.unknown.extend(load.name for load in branch.loads)
            return
        plus = {load.name: self._node(f"load {load.name} +", live=True) for load in branch.loads}
        minus = {load.name: self._node(f"load {load.name} -", live=False) for load in branch.loads}
        first = branch.loads[0].name
        if isinstance(branch, Fed) and branch.joints is not None:
            self._pieces(branch, origin, plus)
        elif isinstance(branch, Fed) and branch.bridge:
            (_, forth), (_, back) = branch.pairs("out")
            self._wire(forth, origin, plus[first])
            self._wire(back, minus[first], self._ground(f"ground of unit {branch.circuit.unit}"))
        else:
            for _, conductor in branch.pairs("out"):
                self._wire(conductor, origin, plus[first])
        for n, conductor in branch.pairs("return"):
            load = self.context.problem.load[branch.wires[n].loads[0]]
            self._wire(conductor, minus[load.name], self._return_point(branch, load, branch.wires[n]))
        self.draws.extend(Draw(load, origin, plus[load.name], minus[load.name]) for load in branch.loads)

    def _origin(self, branch: Branch) -> int | None:
        if isinstance(branch, Fed):
            return self._units.get(branch.circuit.unit)
        return None if branch.source is None else self._terminal(branch.source.name)

    def _pieces(self, fed: Fed, origin: int, plus: dict[str, int]) -> None:
        """Pieces of a shared circuit; the current that arrives at a splice place passes all its splices."""
        assert fed.joints is not None
        meeting = dict(fed.joints.meeting)
        used = sorted({n for _, way in fed.joints.ways for n in way})
        trunks = [n for n in used if fed.wires[n].role == TRUNK]
        spliced = {
            fed.wires[n].end: self._node(f"{fed.label}, splices at {fed.wires[n].end}", live=True) for n in trunks
        }
        for n in used:
            wire = fed.wires[n]
            start = origin if n in fed.joints.starts else spliced[wire.start]
            if n not in trunks:
                self._wire(fed.conductors[n], start, plus[wire.loads[0]])
                continue
            arrival = self._node(f"{fed.label}, before the splices at {wire.end}", live=True)
            self._wire(fed.conductors[n], start, arrival)
            count = splices_needed(meeting[wire.end], self.context.problem.margins.splice_wires)
            self.resistances.append(Resistance(arrival, spliced[wire.end], count * SPLICE_OHM))

    def _wire(self, conductor: Conductor, start: int, end: int) -> None:
        """The copper of a wire, then its contacts."""
        one = conductor if conductor.current_a > 0.0 else replace(conductor, current_a=IDLE_A)
        assert one.drop_v is not None
        ohm = one.drop_v / one.current_a
        if conductor.contact_ohm > 0.0:
            before = self._node(f"{conductor.label}, before its contacts", live=self.nodes[start].live)
            self.resistances.append(Resistance(before, end, conductor.contact_ohm))
            ohm, end = ohm - conductor.contact_ohm, before
        self.resistances.append(Resistance(start, end, ohm))

    def _return_point(self, branch: Branch, load: Load, wire: PlacedWire) -> int:
        if load.return_to == SOURCE and branch.source is not None:
            return self._ground(f"source {branch.source.name} -")
        place = self.context.problem.place.get(wire.end)
        return self._ground(f"{'ground at' if place is None or place.stud_a is None else 'stud'} {wire.end}")

    def _terminal(self, source: str) -> int:
        return self._hold(f"source {source} +", live=True)

    def _ground(self, label: str) -> int:
        return self._hold(label, live=False)

    def _hold(self, label: str, *, live: bool) -> int:
        if label not in self._held:
            self._held[label] = self._node(label, live=live, held=True)
        return self._held[label]

    def _node(self, label: str, *, live: bool, held: bool = False) -> int:
        self.nodes.append(Node(label, live, held))
        return len(self.nodes) - 1


def _resolved(branch: Branch) -> bool:
    """Whether every wire is known, and every load has its way out and its way back."""
    if not branch.loads or any(conductor.drop_v is None for conductor in branch.conductors):
        return False
    outs = len(list(branch.pairs("out")))
    back = sorted(branch.wires[n].loads for n, _ in branch.pairs("return"))
    if isinstance(branch, Fed) and branch.shared:
        names = {load.name for load in branch.loads}
        joined = branch.joints is not None and not branch.joints.lost and len(names) == len(branch.circuit.loads)
        return joined and not branch.bridge and back == sorted((name,) for name in names)
    bridge = branch.loads[0].bridge
    return (outs == 2 and not back) if bridge else (outs >= 1 and back == [(branch.loads[0].name,)])
