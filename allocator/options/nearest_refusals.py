"""The nearest misses of loads that no output can feed."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass

from allocator.options.load_groups import LoadGroup
from allocator.options.refusals import Refusal, Why
from allocator.options.slots import Slot, SlotClass
from allocator.wiring import trip_settings

MISSES_SHOWN = 3


@dataclass(frozen=True, slots=True)
class NearestMiss:
    """A refusal that is nearest of its reason, and the class of the unit at its site that it is of."""

    refusal: Refusal
    slot: Slot

    @property
    def text(self) -> str:
        """The reason with its figures, and where that is, as the user is shown it."""
        own = self.slot.classes[self.refusal.slot_class]
        return f"{self.refusal.reason}{_amounts(self.refusal, own)} ({self.slot.name}, class {own.output.name})"


def nearest_misses(
    group: LoadGroup, slots: Sequence[Slot], refusals: Iterable[Refusal], only: Collection[int] | None = None
) -> Iterator[NearestMiss]:
    """The nearest miss of each reason, nearest first; of some slots only, where they are named.

    Parameters
    ----------
    group
        The loads that no output can feed.
    slots
        The units at their sites.
    refusals
        Why each class of each slot cannot feed them.
    only
        Numbers of the slots to speak of; None: all.
    """
    nearest: dict[object, Refusal] = {}
    for refusal in refusals:
        if refusal.loads == (group.sample.name,) and (only is None or refusal.slot in only):
            best = nearest.get((refusal.why, refusal.names))
            if best is None or refusal.distance < best.distance:
                nearest[refusal.why, refusal.names] = refusal
    for refusal in sorted(nearest.values(), key=lambda refusal: refusal.distance)[:MISSES_SHOWN]:
        yield NearestMiss(refusal, slots[refusal.slot])


def _amounts(refusal: Refusal, own: SlotClass) -> str:
    if refusal.asked is None:
        return ""
    asked = f"{refusal.asked:.4g}{_unit(refusal.asked, refusal.unit)}"
    if refusal.limit is None:
        return f", {asked}"
    if refusal.why is Why.NO_TRIP and refusal.asked <= refusal.limit:
        return f", {asked} to {refusal.limit:.4g} A, and {_settings(own, refusal.asked)}"
    text = f", {asked} against {refusal.limit:.4g}{_unit(refusal.limit, refusal.unit)}"
    over = refusal.asked - refusal.limit
    return f"{text}, {over:.3g}{_unit(over, refusal.unit)} over" if over > 0.0 else text


def _unit(amount: float, unit: str) -> str:
    """A unit behind its figure, set apart from it; a thing that is counted stands in the singular at one."""
    return f" {unit.removesuffix('s') if amount == 1 else unit}" if unit else ""


def _settings(own: SlotClass, asked_a: float) -> str:
    """The trip settings of a class next to what is asked for."""
    settings = trip_settings(own.output)
    below = [f"{x:.4g} A" for x in settings if x < asked_a][-1:]
    above = [f"{x:.4g} A" for x in settings if x >= asked_a][:1]
    nearest = (*below, *above)
    return f"the nearest setting{' is' if len(nearest) == 1 else 's are'} {' and '.join(nearest)}"
