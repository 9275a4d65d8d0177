"""Which circuits and units a choice stands for, by name."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from allocator.choosing import Choice
from allocator.pricing import Option, Pricing
from allocator.problem import Load


@dataclass(frozen=True, slots=True)
class Taken:
    """One circuit to be made: an option, and the loads it feeds by alike group."""

    name: str
    option: Option
    loads: tuple[tuple[int, tuple[Load, ...]], ...]

    @property
    def names(self) -> tuple[str, ...]:
        """Names of its loads."""
        return tuple(load.name for _, own in self.loads for load in own)


def unit_names(pricing: Pricing, choice: Choice) -> dict[int, str]:
    """Names of fitted units by slot: those of a kind in their order, over its fitted slots in theirs."""
    names: dict[int, str] = {}
    for number, kind in enumerate(pricing.kinds):
        fitted = [s for s in choice.slots if pricing.slots[s].kind == number]
        names |= {slot: unit.name for slot, unit in zip(fitted, kind.units, strict=False)}
    return names


def taken_circuits(pricing: Pricing, choice: Choice) -> list[Taken]:
    """Circuits with their loads: alike loads are told off in their order."""
    waiting = {group.index: list(group.loads) for group in pricing.alike}
    raw: list[tuple[Option, tuple[tuple[int, tuple[Load, ...]], ...]]] = []
    for index, count in choice.options:
        option = pricing.options[index]
        for _ in range(count):
            own = tuple((g, tuple(waiting[g].pop(0) for _ in range(n))) for g, n in option.candidate.members)
            raw.append((option, own))
    words = Counter(own[0][1][0].share for _, own in raw if sum(len(x) for _, x in own) > 1)
    seen: Counter[str | None] = Counter()
    taken = []
    for option, own in raw:
        first = own[0][1][0]
        if option.candidate.single:
            name = first.name
        else:
            seen[first.share] += 1
            name = f"{first.share}" if words[first.share] == 1 else f"{first.share} {seen[first.share]}"
        taken.append(Taken(name, option, own))
    return sorted(taken, key=lambda t: (t.name, t.names))
