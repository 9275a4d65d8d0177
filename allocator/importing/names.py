"""Names as a problem needs them: each load its own, each place in one spelling."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from difflib import SequenceMatcher

from allocator.importing.marks import how_many
from allocator.importing.schedule import ASSUMED, LOOK, Finding
from allocator.importing.schedule_rows import Item

_ALIKE = 0.85


def distinct_names(items: Iterable[Item], findings: list[Finding]) -> list[Item]:
    """Give items of one name names of their own: with the place, and where that does not do with the row."""
    items = list(items)
    names = Counter(item.name.casefold() for item in items if item.name)
    taken = {name for name, count in names.items() if count == 1}
    # n of 'pump' are 'pump 1' to 'pump n', which nothing else may be called
    made = {item: _expanded(item) for item in items}
    several = {name for expanded in made.values() for name in expanded}
    taken |= {name for item, expanded in made.items() if names[item.name.casefold()] == 1 for name in expanded}
    out = []
    for item in items:
        if item.name and (names[item.name.casefold()] > 1 or item.name.casefold() in several):
            name = f"{item.name} ({item.place})" if item.place else f"{item.name} (row {item.row})"
            if name.casefold() in taken:
                name = f"{item.name} (row {item.row})"
            taken.add(name.casefold())
            said = f"is a name of several rows: '{name}' here"
            findings.append(Finding(ASSUMED, said, item.row, cell=item.name))
            item = replace(item, name=name)
        out.append(item)
    return out


def _expanded(item: Item) -> list[str]:
    """What the loads of an item will be called, where it is several."""
    count = int(item.number) if how_many(item.number) == item.number else 1
    return [f"{item.name} {number}".casefold() for number in range(1, min(count, 1000) + 1)] if count > 1 else []


def one_spelling(items: Iterable[Item], findings: list[Finding]) -> list[Item]:
    """Places that differ in case alone are one; those that are nearly alike are told of."""
    items = list(items)
    spelled = Counter(item.place for item in items if item.place)
    best: dict[str, str] = {}
    for place, _ in sorted(spelled.items(), key=lambda pair: -pair[1]):
        best.setdefault(place.casefold(), place)
    out = []
    for item in items:
        one = best.get(item.place.casefold(), item.place)
        if one != item.place:
            findings.append(Finding(ASSUMED, f"is the place '{one}'", item.row, cell=item.place))
        out.append(replace(item, place=one))
    findings += _nearly_alike(list(best.values()))
    return out


def _nearly_alike(places: list[str]) -> Iterable[Finding]:
    for number, one in enumerate(places):
        for other in places[number + 1 :]:
            alike = SequenceMatcher(None, one.casefold(), other.casefold()).ratio()
            if alike >= _ALIKE and _letters(one) != _letters(other):
                said = f"places '{one}' and '{other}' are nearly alike: are they one? Then spell them alike"
                yield Finding(LOOK, said)


def _letters(place: str) -> str:
    """A place without figures and sides, by which places differ on purpose."""
    words = place.casefold().replace("-", " ").split()
    sides = {"left", "right", "port", "starboard", "front", "rear", "fore", "aft", "upper", "lower", "inner", "outer"}
    kept = [word for word in words if word not in sides and not any(letter.isdigit() for letter in word)]
    return " ".join(kept) if len(kept) < len(words) else f"{place} as it stands"
