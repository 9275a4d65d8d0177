"""What the parts of a layout are, resolved against the problem: units, circuits, direct loads, given wires."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from allocator.evaluation.joints import Joints
from allocator.evaluation.laid_conductors import Conductor
from allocator.layout import Circuit, DirectCircuit, FittedUnit, GivenRun, PlacedWire
from allocator.problem import GivenWire, Load, OutputClass, Place, Source, Unit, UnitType


@dataclass(frozen=True, slots=True, kw_only=True)
class Mounted:
    """A unit of the problem at a place of the problem; ``hot`` is the share of every rating left there."""

    unit: Unit
    type: UnitType
    site: Place
    source: Source | None
    hot: float
    stated: FittedUnit
    class_of_pin: Mapping[str, OutputClass] = field(repr=False, compare=False)

    @property
    def name(self) -> str:
        """Name of the unit."""
        return self.unit.name


@dataclass(frozen=True, slots=True, kw_only=True)
class Branch(ABC):
    """Loads and wires behind one trip or fuse.

    ``conductors`` stand in the order of ``wires``, or there are none where loads or origin are unknown.
    """

    loads: tuple[Load, ...]
    conductors: tuple[Conductor, ...] = ()

    @property
    @abstractmethod
    def label(self) -> str:
        """How violations name it."""

    @property
    @abstractmethod
    def wires(self) -> tuple[PlacedWire, ...]:
        """Its wires as the completed layout has them."""

    @property
    @abstractmethod
    def site(self) -> str | None:
        """Place that its outgoing wires start from."""

    @property
    @abstractmethod
    def source(self) -> Source | None:
        """The source that its current comes from in the end."""

    @property
    @abstractmethod
    def guard_a(self) -> float | None:
        """The trip of each output, or the fuse; None where there is none."""

    @property
    def shared(self) -> bool:
        """Whether more than one load hangs on it."""
        return False

    @property
    def outgoing(self) -> int:
        """Outgoing wires that it takes where no loads share it."""
        return 1

    @property
    def parallel(self) -> int:
        """Outputs among which the current divides."""
        return 1

    @property
    def current_a(self) -> float:
        """Full current of its loads."""
        return sum(load.full_current_a for load in self.loads)

    def pairs(self, *roles: str) -> Iterator[tuple[int, Conductor]]:
        """Index and conductor of the wires with these roles, all where none is named."""
        for n, (wire, conductor) in enumerate(zip(self.wires, self.conductors, strict=bool(self.conductors))):
            if not roles or wire.role in roles:
                yield n, conductor


@dataclass(frozen=True, slots=True, kw_only=True)
class Fed(Branch):
    """One circuit. ``classes`` holds the output class of each pin, None for a pin that the unit lacks.

    ``joints`` is None unless loads share the output.
    """

    circuit: Circuit
    mounted: Mounted | None
    classes: tuple[OutputClass | None, ...]
    joints: Joints | None = None

    @property
    def label(self) -> str:
        """How violations name the circuit."""
        return f"circuit {self.circuit.name}"

    @property
    def wires(self) -> tuple[PlacedWire, ...]:
        """Wires of the circuit."""
        return self.circuit.wires

    @property
    def site(self) -> str | None:
        """Place of the unit."""
        return None if self.mounted is None else self.mounted.site.name

    @property
    def source(self) -> Source | None:
        """The source that feeds the unit."""
        return None if self.mounted is None else self.mounted.source

    @property
    def guard_a(self) -> float | None:
        """Trip of each output."""
        return self.circuit.trip_a

    @property
    def output_class(self) -> OutputClass | None:
        """The class of all its pins, None where they have none or differ."""
        first = self.classes[0] if self.classes else None
        return first if all(one is first for one in self.classes) else None

    @property
    def shared(self) -> bool:
        """Whether more than one load hangs on the output."""
        return len(self.circuit.loads) > 1

    @property
    def bridge(self) -> bool:
        """Whether its two outputs form a bridge."""
        return any(load.bridge for load in self.loads)

    @property
    def outgoing(self) -> int:
        """Outgoing wires that it takes where no loads share it: one for each output."""
        return len(self.circuit.pins)

    @property
    def parallel(self) -> int:
        """Outputs among which the current divides: 1 for a bridge pair."""
        return 1 if self.bridge else max(len(self.circuit.pins), 1)

    @property
    def parallel_use(self) -> float:
        """Share of its rating that each output of a parallel group may give."""
        return self.output_class.parallel_use if self.parallel > 1 and self.output_class else 1.0

    @property
    def rating_a(self) -> float | None:
        """Continuous rating of one output at the site."""
        if self.output_class is None or self.mounted is None:
            return None
        return self.output_class.continuous_a * self.mounted.hot

    @property
    def banks(self) -> frozenset[str]:
        """Banks that its pins lie in."""
        return frozenset(one.bank for one in self.classes if one is not None and one.bank is not None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Direct(Branch):
    """A load fused at a source; ``origin`` is None where the problem has no such source."""

    circuit: DirectCircuit
    origin: Source | None

    @property
    def label(self) -> str:
        """How violations name it."""
        return f"direct load {self.circuit.load}"

    @property
    def wires(self) -> tuple[PlacedWire, ...]:
        """Its outgoing and return wire."""
        return self.circuit.wires

    @property
    def site(self) -> str | None:
        """Place of the source."""
        return None if self.origin is None else self.origin.place

    @property
    def source(self) -> Source | None:
        """The source it is fused at."""
        return self.origin

    @property
    def guard_a(self) -> float | None:
        """Its fuse."""
        return self.circuit.fuse_a


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """A given wire where it lies; ``conductor`` is one core, None where the problem has no such wire."""

    run: GivenRun
    wire: GivenWire | None
    conductor: Conductor | None
