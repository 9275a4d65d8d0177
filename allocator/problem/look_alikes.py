"""Names that people take for one another: alike but for case, spaces, or letters of other alphabets."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator

from allocator.problem.problem import Problem

# Letters of Cyrillic and Greek that look like those of Latin: the rows of the table of confusable letters of
# Unicode Technical Standard 39 (confusables.txt) that keyboards of these languages have; picked from memory
_OTHERS = "АВЕЅІЈКМНОРСТУХ авеѕіјкмнорстух ΑΒΕΖΗΙΚΜΝΟΡΤΥΧ αβεζηικμνορτυχ гѵԁԛԝ"
_LATIN = "abesijkmhopctyx abesijkmhopctyx abezhikmnoptyx aβeζηikμvoptux rvdqw"
_DASHES = "‐‑‒–—―−_"
_LETTERS = str.maketrans(_OTHERS.replace(" ", "") + _DASHES, _LATIN.replace(" ", "") + "-" * len(_DASHES))
_ALIKE = str.maketrans({"0": "o", "1": "l", "i": "l", "|": "l"})


def look_of(name: str) -> str:
    """What a name looks like: two that look the same have the same."""
    plain = unicodedata.normalize("NFKC", name)
    marked = "".join(letter for letter in plain if unicodedata.category(letter) != "Cf")
    looks = marked.translate(_LETTERS).casefold().translate(_LETTERS).translate(_ALIKE)
    return "".join(letter for letter in looks if not letter.isspace() and letter != "-")


def look_alikes(problem: Problem) -> Iterator[str]:
    """A sentence for each two names of one kind that look the same; both stand, for each may be meant."""
    kinds = {
        "loads": [load.name for load in problem.loads],
        "places": [place.name for place in problem.places],
        "units": [unit.name for unit in problem.units],
        "unit types": [unit_type.name for unit_type in problem.unit_types],
        "sources": [source.name for source in problem.sources],
        "bulkheads": [bulkhead.name for bulkhead in problem.bulkheads],
        "functions": [function.name for function in problem.functions],
        "given wires": [wire.name for wire in problem.given_wires],
        "conditions": list(problem.conditions),
        "share words of the loads": [load.share for load in problem.loads if load.share],
        "together words of the loads": [load.together for load in problem.loads if load.together],
    }
    for kind, names in kinds.items():
        first: dict[str, str] = {}
        for name in dict.fromkeys(names):
            other = first.setdefault(look_of(name), name)
            if other != name:
                yield (
                    f"{kind} '{other}' and '{name}' look alike: they are treated as two names; if only one "
                    f"is meant, rename the other"
                )
