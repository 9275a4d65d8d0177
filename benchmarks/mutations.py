"""Changes of bytes: at random, of pieces of text, and such that break a rule by construction."""

from __future__ import annotations

import json
import random
import re
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from io import BytesIO
from typing import Any

Change = Callable[[bytes, random.Random], bytes]

ODD = [
    "", " ", "0", "-1", "1e-300", "1e300", "1e999", "nan", "inf", "99999999999999999999", "5 %A", "5 A", "5", "yes",
    "1,5", "=1/0", "@x", "\u0430", "\u200b", "\ufeff", "\ud800", "\x00", "\x1b[31m", "漢字", "🚐", "x" * 5000, ";", ":",
    '"', "'", "\\", "\n", "\r", "\t", "{", "}", "[", "]", "true", "null", "NaN", "-Infinity", "../../etc", "/dev/zero",
]  # fmt: skip
"""Texts that stand in no sound file, or in another place of it."""

_NUMBER = re.compile(rb"[0-9]+(?:\.[0-9]+)?")
_WORD = re.compile(rb"[A-Za-z_]{3,}")


@dataclass(frozen=True, slots=True)
class Mutation:
    """A change; ``harm``: what comes of it must not be called clean. ``files``: those of a folder that it is for."""

    what: str
    change: Change
    harm: bool = False
    files: tuple[str, ...] = ()


def _odd(chance: random.Random) -> bytes:
    return chance.choice(ODD).encode("utf-8", "surrogatepass")


def flipped(data: bytes, chance: random.Random) -> bytes:
    """Some bytes are others."""
    out = bytearray(data)
    for _ in range(chance.randint(1, 12)):
        if out:
            out[chance.randrange(len(out))] = chance.randrange(256)
    return bytes(out)


def cut(data: bytes, chance: random.Random) -> bytes:
    """The end, or a stretch, is gone."""
    start = chance.randrange(len(data) + 1)
    return data[:start] if chance.random() < 0.5 else data[:start] + data[start + chance.randint(1, 200) :]


def doubled(data: bytes, chance: random.Random) -> bytes:
    """A stretch stands again somewhere."""
    start, to = chance.randrange(len(data) + 1), chance.randrange(len(data) + 1)
    return data[:to] + data[start : start + chance.randint(1, 300)] + data[to:]


def _of(pattern: re.Pattern[bytes]) -> Change:
    def change(data: bytes, chance: random.Random) -> bytes:
        found = list(pattern.finditer(data))
        if not found:
            return data + _odd(chance)
        one = chance.choice(found)
        return data[: one.start()] + _odd(chance) + data[one.end() :]

    return change


def swapped_words(data: bytes, chance: random.Random) -> bytes:
    """A word stands where another stood."""
    found = list(_WORD.finditer(data))
    if len(found) < 2:
        return data
    one, other = chance.sample(found, 2)
    return data[: one.start()] + other[0] + data[one.end() :]


def lines_moved(data: bytes, chance: random.Random) -> bytes:
    """Lines are left out, doubled, or stand elsewhere."""
    lines = data.split(b"\n")
    place = chance.randrange(len(lines))
    line = lines[place]
    what = chance.randrange(3)
    if what != 1:
        del lines[place]
    if what:
        lines.insert(chance.randrange(len(lines) + 1), line)
    return b"\n".join(lines)


def odd_cell(data: bytes, chance: random.Random) -> bytes:
    """A cell of a table is an odd text."""
    lines = data.split(b"\n")
    place = chance.randrange(len(lines))
    cells = lines[place].split(b",")
    cells[chance.randrange(len(cells))] = _odd(chance)
    lines[place] = b",".join(cells)
    return b"\n".join(lines)


BYTES = [Mutation("bytes flipped", flipped), Mutation("cut", cut), Mutation("a stretch doubled", doubled)]
TEXT = [
    Mutation("an odd number", _of(_NUMBER)), Mutation("an odd word", _of(_WORD)),
    Mutation("a word swapped", swapped_words), Mutation("lines moved", lines_moved), Mutation("an odd cell", odd_cell),
]  # fmt: skip


def _times_a_hundred(data: bytes, chance: random.Random) -> bytes:
    """The current of a load is a hundred times what it was; the second column with a unit of current is it."""
    lines = data.split(b"\n")
    heading = lines[0].split(b",")
    place = heading.index(b"current")
    rows = [n for n, line in enumerate(lines[1:], start=1) if line.strip() and not line.startswith(b"#")]
    row = chance.choice(rows)
    cells = lines[row].split(b",")
    number = _NUMBER.search(cells[place])
    assert number is not None
    more = f"{float(number[0]) * 100:g}".encode()
    cells[place] = cells[place][: number.start()] + more + cells[place][number.end() :]
    lines[row] = b",".join(cells)
    return b"\n".join(lines)


def _a_load_more(data: bytes, chance: random.Random) -> bytes:
    """A load that no layout knows."""
    lines = [line for line in data.split(b"\n") if line.strip()]
    cells = chance.choice(lines[1:]).split(b",")
    cells[0] = b"a load more"
    return b"\n".join([*lines, b",".join(cells), b""])


OF_FOLDER = [
    *BYTES, *TEXT,
    Mutation("a current of a hundred times", _times_a_hundred, True, ("loads.csv",)),
    Mutation("a load more", _a_load_more, True, ("loads.csv",)),
]  # fmt: skip


def in_a_part(change: Change, only: str = "") -> Change:
    """The change made inside of a part of a zip archive, whose sums are right afterwards."""

    def changed(data: bytes, chance: random.Random) -> bytes:
        with zipfile.ZipFile(BytesIO(data)) as book:
            parts = {name: book.read(name) for name in book.namelist()}
        name = chance.choice([name for name in parts if only in name])
        parts[name] = change(parts[name], chance)
        out = BytesIO()
        with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as book:
            for one, part in parts.items():
                book.writestr(one, part)
        return out.getvalue()

    return changed


def far_cell(data: bytes, chance: random.Random) -> bytes:
    """A cell stands far out on its sheet."""
    references = list(re.finditer(rb'r="[A-Z]+[0-9]+"', data))
    if not references:
        return data
    one = chance.choice(references)
    far = chance.choice([b"A1048576", b"XFD1", b"XFD1048576", b"A0", b"ZZZZ9", b"A99999999999", b"7", b""])
    return data[: one.start()] + b'r="' + far + b'"' + data[one.end() :]


OF_WORKBOOK = [
    *BYTES,
    *(Mutation(f"{one.what}, in a part", in_a_part(one.change)) for one in (*BYTES, *TEXT)),
    Mutation("an odd number in a sheet", in_a_part(_of(_NUMBER), "sheet")),
    Mutation("a far cell", in_a_part(far_cell, "worksheets/sheet")),
    Mutation("an odd style", in_a_part(_of(_NUMBER), "styles")),
]

Json = dict[str, Any]


def _json(change: Callable[[Json, random.Random], None]) -> Change:
    def changed(data: bytes, chance: random.Random) -> bytes:
        layout = json.loads(data)
        change(layout, chance)
        return json.dumps(layout).encode()

    return changed


def _value(layout: Json, chance: random.Random) -> None:
    """A value somewhere is something else."""
    here: Any = layout
    while True:
        keys = list(here) if isinstance(here, dict) else list(range(len(here)))
        if not keys:
            return
        key = chance.choice(keys)
        if isinstance(here[key], dict | list) and here[key] and chance.random() < 0.85:
            here = here[key]
            continue
        here[key] = chance.choice([None, True, 0, -1, 1e300, 10**30, 2.5, "", "x", [], {}, [[]], ["x"], {"x": 1}])
        return


def _key(layout: Json, chance: random.Random) -> None:
    """A key somewhere is gone, or another."""
    objects = [one for one in _objects(layout) if one]
    one = chance.choice(objects)
    key = chance.choice(list(one))
    value = one.pop(key)
    if chance.random() < 0.5:
        one[chance.choice(["x", key.upper(), f"{key} ", "name", "loads"])] = value


def _objects(thing: Any) -> list[Json]:
    if isinstance(thing, dict):
        return [thing, *(found for value in thing.values() for found in _objects(value))]
    return [found for value in thing for found in _objects(value)] if isinstance(thing, list) else []


def _twice(data: bytes, chance: random.Random) -> bytes:
    """A key appears twice in one object."""
    keys = list(re.finditer(rb'"[a-z_]+":', data))
    one = chance.choice(keys)
    return data[: one.start()] + one[0] + b" 1, " + data[one.start() :]


def _pin_twice(layout: Json, chance: random.Random) -> None:
    one, other = chance.sample(layout["circuits"], 2)
    one["unit"], one["pins"] = other["unit"], [other["pins"][0], *one["pins"][1:]]


def _dropped(layout: Json, chance: random.Random) -> None:
    layout["circuits"].pop(chance.randrange(len(layout["circuits"])))


def _fed_twice(layout: Json, chance: random.Random) -> None:
    layout["circuits"].append(dict(chance.choice(layout["circuits"])))


def _high_trip(layout: Json, chance: random.Random) -> None:
    """A trip far above what any wire there bears."""
    chance.choice(layout["circuits"])["trip_a"] = chance.choice([500, 1e4, 1e6])


def _low_trip(layout: Json, chance: random.Random) -> None:
    chance.choice(layout["circuits"])["trip_a"] = chance.choice([0, -5, 1e-9, 0.001])


def _no_size(layout: Json, chance: random.Random) -> None:
    wires = [wire for circuit in layout["circuits"] for wire in circuit["wires"]]
    chance.choice(wires)["size"] = chance.choice(["0 mm2", "900 mm2", "x", "1e99 mm2"])


def _no_pin(layout: Json, chance: random.Random) -> None:
    chance.choice(layout["circuits"])["pins"][0] = chance.choice(["none such", " ", "0", "P999"])


OF_LAYOUT = [
    *BYTES, *TEXT[:4], Mutation("another value", _json(_value)), Mutation("another key", _json(_key)),
    Mutation("a key twice", _twice, True), Mutation("a pin used twice", _json(_pin_twice), True),
    Mutation("a circuit dropped", _json(_dropped), True), Mutation("a load fed twice", _json(_fed_twice), True),
    Mutation("a trip above the wire", _json(_high_trip), True),
    Mutation("a trip below the load", _json(_low_trip), True),
    Mutation("no such size", _json(_no_size), True), Mutation("no such pin", _json(_no_pin), True),
]  # fmt: skip
