"""Which circuits and units a solution stands for, by name."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from allocator.model import Solution
from allocator.options import Option, OptionList
from allocator.problem import Load


@dataclass(frozen=True, slots=True)
class Taken:
    """One circuit to be made: an option, and the loads it feeds by load group."""

    name: str
    option: Option
    loads: tuple[tuple[int, tuple[Load, ...]], ...]

    @property
    def names(self) -> tuple[str, ...]:
        """Names of its loads."""
        return tuple(load.name for _, own in self.loads for load in own)


def unit_names(option_list: OptionList, solution: Solution) -> dict[int, str]:
    """Names of fitted units by slot: those of a group in their order, over its fitted slots in theirs."""
    names: dict[int, str] = {}
    for number, unit_group in enumerate(option_list.unit_groups):
        fitted = [s for s in solution.slots if option_list.slots[s].unit_group == number]
        names |= {slot: unit.name for slot, unit in zip(fitted, unit_group.units, strict=False)}
    return names


def taken_circuits(option_list: OptionList, solution: Solution) -> list[Taken]:
    """Circuits with their loads: alike loads are told off in their order."""
    waiting = {group.index: list(group.loads) for group in option_list.load_groups}
    raw: list[tuple[Option, tuple[tuple[int, tuple[Load, ...]], ...]]] = []
    for index, count in solution.options:
        option = option_list.options[index]
        for _ in range(count):
            own = tuple((g, tuple(waiting[g].pop(0) for _ in range(n))) for g, n in option.candidate.members)
            raw.append((option, own))
    words = Counter(own[0][1][0].share or "" for option, own in raw if not option.candidate.single)
    waiting_names = _names_of_shared(words, {load.name for load in option_list.problem.loads})
    taken = []
    for option, own in raw:
        first = own[0][1][0]
        name = first.name if option.candidate.single else waiting_names[first.share or ""].pop(0)
        taken.append(Taken(name, option, own))
    return sorted(taken, key=lambda t: (t.name, t.names))


def _names_of_shared(words: Counter[str], used: set[str]) -> dict[str, list[str]]:
    """Names for the circuits of each share word: the word, numbered where it has more than one; no name twice."""
    names: dict[str, list[str]] = {}
    used = set(used)
    for word, count in words.items():
        stem = word
        while not names.get(word):
            own = [stem] if count == 1 else [f"{stem} {n}" for n in range(1, count + 1)]
            if used.isdisjoint(own):
                names[word] = own
            stem = f"{stem} circuit"
        used |= {*names[word]}
    return names
