"""What a row of the model is about, as an object: whoever asks looks at that, never at the name made of it."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import ClassVar


@dataclass(frozen=True, slots=True)
class Key:
    """What a row holds and where; its text, such as ``unit[0,1]``, is the name of the row.

    Numbers are those of slots, conditions, load groups, unit groups, segments, and classes of a slot.
    """

    label: ClassVar[str]

    def __str__(self) -> str:
        return f"{self.label}[{','.join(_text(getattr(self, field.name)) for field in fields(self))}]"


def _text(part: object) -> str:
    return "+".join(map(str, part)) if isinstance(part, tuple) else str(part)


@dataclass(frozen=True, slots=True)
class AtSlot(Key):
    """What a row holds at one slot."""

    slot: int


@dataclass(frozen=True, slots=True)
class LoadsFed(Key):
    """The loads of a group, each fed once."""

    label: ClassVar[str] = "once"
    group: int


@dataclass(frozen=True, slots=True)
class TogetherAt(Key):
    """The loads of a group on the unit of their together word, or not on it."""

    label: ClassVar[str] = "together"
    word: str
    group: int
    slot: int


@dataclass(frozen=True, slots=True)
class UnitsOfGroup(Key):
    """Units that there are in a group."""

    label: ClassVar[str] = "units"
    kind: int


@dataclass(frozen=True, slots=True)
class AlwaysFitted(Key):
    """Units of a group that must be fitted."""

    label: ClassVar[str] = "always"
    kind: int


@dataclass(frozen=True, slots=True)
class UnitsAtSite(Key):
    """Units that a place holds."""

    label: ClassVar[str] = "site"
    site: str


@dataclass(frozen=True, slots=True)
class Outputs(AtSlot):
    """Outputs of a slot in a union of classes (a Hall row)."""

    label: ClassVar[str] = "outputs"
    classes: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class SpareShared(AtSlot):
    """Spare outputs under a class name, dealt to the classes that may hold them."""

    label: ClassVar[str] = "spare"
    output: str


@dataclass(frozen=True, slots=True)
class SpareLacking(AtSlot):
    """A slot that has fewer outputs under a class name than are to be kept spare, and so cannot be fitted."""

    label: ClassVar[str] = "nospare"
    output: str


@dataclass(frozen=True, slots=True)
class UnitCurrent(AtSlot):
    """Current of a slot."""

    label: ClassVar[str] = "unit"
    condition: int


@dataclass(frozen=True, slots=True)
class BankCurrent(AtSlot):
    """Current of a bank of a slot."""

    label: ClassVar[str] = "bank"
    bank: str
    condition: int


@dataclass(frozen=True, slots=True)
class FeedCurrent(AtSlot):
    """Current of a slot against its feed."""

    label: ClassVar[str] = "feedcurrent"
    condition: int


@dataclass(frozen=True, slots=True)
class FeedStart(AtSlot):
    """Start of a load of a group behind the feed fuse of a slot."""

    label: ClassVar[str] = "start"
    group: int
    condition: int


@dataclass(frozen=True, slots=True)
class SurviveSource(Key):
    """A function and the failure of a source."""

    label: ClassVar[str] = "survive source"
    function: str
    source: str


@dataclass(frozen=True, slots=True)
class SurviveUnit(Key):
    """A function and the failure of the unit at a slot, or of its feed."""

    label: ClassVar[str] = "survive unit"
    function: str
    slot: int


@dataclass(frozen=True, slots=True)
class SurviveBank(Key):
    """A function and the failure of a bank of a slot; None: the unit names no banks and is one."""

    label: ClassVar[str] = "survive bank"
    function: str
    slot: int
    bank: str | None


@dataclass(frozen=True, slots=True)
class SurviveBulkhead(Key):
    """A function and the failure of a bulkhead."""

    label: ClassVar[str] = "survive bulkhead"
    function: str
    bulkhead: str


@dataclass(frozen=True, slots=True)
class Contacts(Key):
    """Contacts of a bulkhead in a union of sets (a Hall row)."""

    label: ClassVar[str] = "contacts"
    bulkhead: str
    sets: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Studs(Key):
    """Studs of a bulkhead."""

    label: ClassVar[str] = "studs"
    bulkhead: str


@dataclass(frozen=True, slots=True)
class InSegment(Key):
    """What a row holds in one segment."""

    segment: int


@dataclass(frozen=True, slots=True)
class BundleHeat(InSegment):
    """Heat of a bundle in a condition; ``step``: where the row is exact, ``beside``: with a cable there.

    ``at_trip``: the group, the load and the wire of it that carries its trip; None for what all give.
    """

    label: ClassVar[str] = "bundle heat"
    condition: int
    step: int
    beside: bool
    at_trip: tuple[int, int, int] | None = None


@dataclass(frozen=True, slots=True)
class WarmDrop(InSegment):
    """Circuits of a load that lose too much between a lazy set of warm bundles, in so many of which they lie."""

    label: ClassVar[str] = "drop between warm bundles"
    bundles: int
    kind: str
    group: int | str
    passed: int


@dataclass(frozen=True, slots=True)
class BesideCable(InSegment):
    """Wires of a group that are too small to lie beside a cable."""

    label: ClassVar[str] = "beside cable"
    group: int


@dataclass(frozen=True, slots=True)
class BundleWires(InSegment):
    """Wires of a bundle against the number stated."""

    label: ClassVar[str] = "bundle wires"


@dataclass(frozen=True, slots=True)
class BundleLoading(InSegment):
    """Current of a bundle in a condition against the loading stated."""

    label: ClassVar[str] = "bundle loading"
    condition: int


@dataclass(frozen=True, slots=True)
class SideBySide(InSegment):
    """Cables that lie side by side, against what those of a group bear."""

    label: ClassVar[str] = "side by side"
    group: int
