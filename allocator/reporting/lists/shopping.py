"""What to buy: wire by size, fuses, units, splices, and the items of the schedule that are not in hand."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from math import ceil

from allocator.problem import Load
from allocator.reporting.lists.build import Build, plain, said
from allocator.reporting.lists.cut_list import cut_m
from allocator.reporting.lists.listing import listing
from allocator.reporting.lists.pieces import Piece
from allocator.table import Row, Table, count, figure, fill_in, text

COLUMNS = (
    text("kind"),
    text("what"),
    text("note"),
    figure("insulation", "degC", 0),
    count("pieces"),
    figure("length", "m"),
    figure("in place", "m"),
    figure("cut", "m"),
    figure("buy", "m", 1),
    figure("mass", "g", 0),
    figure("copper", "g", 0),
    count("needed"),
    text("in hand"),
    count("to buy"),
    text("link"),
    fill_in("ordered"),
)

IN_HAND = frozenset({"in hand", "on hand", "stock", "in stock", "have", "got"})
LINK = frozenset({"link", "url", "web", "web page", "page", "supplier page", "shop"})
NOTHING = frozenset({"", "0", "-", "n", "no", "none", "not yet", "to buy", "tbc", "order", "to order"})
BUY_STEP_M = 0.1

Key = tuple[str, str, str, float | None]
"""Use, name of a given wire, size, insulation class."""

NOTE = (
    "Buy: what is cut, and the share for waste on top, rounded up to 0.1 m. A length counts every core. Items: the "
    "schedule's column 'stock' or 'in hand' (a number: how many there are; 'no', '0', '-' or empty: none; anything "
    "else: all of them) and its column 'link' or 'supplier page'. Without such a column every item is listed. "
    "Fuses, units and splices are those of the whole layout, of a revision too. Terminals, seals, contacts and "
    "sleeves are not counted."
)


def shopping(build: Build) -> Table:
    """Wire of branches, feeds and given wires from thin to thick, then parts, then items of the schedule."""
    rows = (*_wire(build), *_fuses(build), *_units(build), *_splices(build), *_items(build))
    return listing("shopping", "What to buy", COLUMNS, rows, NOTE)


def _wire(build: Build) -> Iterator[Row]:
    groups: dict[Key, list[Piece]] = defaultdict(list)
    for piece in build.pieces:
        groups[piece.use, piece.given, piece.size, piece.insulation_c].append(piece)
    uses = list(dict.fromkeys(use for use, *_ in groups))
    for (use, given, size, insulation), pieces in sorted(groups.items(), key=lambda one: _thickness(uses, *one)):
        there = [piece.length_m for piece in pieces if piece.wire in build.in_place]
        new = [piece.length_m for piece in pieces if piece.wire not in build.in_place]
        cut = sum(cut_m(length, build.cut_step_m) for length in new)
        cores = len({piece.wire for piece in pieces}) if given else 1
        yield (
            f"wire, {use}",
            size,
            _note(build, given, cores, _buy_m(build, cut / cores)),
            insulation,
            len(pieces),
            sum(piece.length_m for piece in pieces),
            sum(there) or None,
            cut,
            _buy_m(build, cut),
            sum(piece.wire_g for piece in pieces),
            sum(piece.copper_g for piece in pieces),
            *[None] * 3,
            build.said_of_wire(given, LINK) if given else "",
            None,
        )


def _buy_m(build: Build, cut: float) -> float:
    return BUY_STEP_M * ceil(cut * (1.0 + build.waste) / BUY_STEP_M - 1e-6)


def _note(build: Build, given: str, cores: int, cable: float) -> str:
    """The share for waste; of a given wire its name, and its length as one cable."""
    waste = f"with {100.0 * build.waste:g} % for waste"
    if not given:
        return waste
    return f"{given}, {waste}" + (f"; as one cable of {cores} cores {cable:.1f} m" if cores > 1 else "")


def _thickness(uses: list[str], key: Key, pieces: list[Piece]) -> tuple[int, float, float, str, str]:
    """Order by use, grams of copper in a metre, insulation and size."""
    use, given, size, insulation = key
    length = sum(piece.length_m for piece in pieces)
    copper = sum(piece.copper_g for piece in pieces)
    return uses.index(use), round(copper / length, 1) if length else 0.0, insulation or 0.0, size, given


def _part(kind: str, what: str, note: str, needed: int, link: str = "") -> Row:
    return (kind, what, note, *[None] * 8, needed, "", needed, link, None)


def _fuses(build: Build) -> Iterator[Row]:
    feeds = [unit.feed.fuse_a for unit in build.layout.units if unit.feed is not None]
    for note, fuses in (("of feeds", feeds), ("at sources", [one.fuse_a for one in build.layout.direct])):
        for fuse, needed in sorted(Counter(fuse for fuse in fuses if fuse is not None).items()):
            yield _part("fuse", f"{fuse:g} A", note, needed)


def _units(build: Build) -> Iterator[Row]:
    for kind, needed in Counter(unit.type for unit in build.layout.units).items():
        names = ", ".join(unit.name for unit in build.layout.units if unit.type == kind)
        unit_type = build.problem.unit_type.get(kind)
        yield _part("unit", kind, names, needed, "" if unit_type is None else said([unit_type.extra], LINK))


def _splices(build: Build) -> Iterator[Row]:
    sizes: Counter[str] = Counter()
    for circuit in build.layout.circuits:
        size = "; ".join(dict.fromkeys(wire.size for wire in circuit.wires if wire.role != "return"))
        sizes[size] += sum(splice.count for splice in circuit.splices)
    for size, needed in sizes.items():
        if needed:
            yield _part("splice", size, "", needed)


def _items(build: Build) -> Iterator[Row]:
    """Items that are not all in hand, in the order of the schedule."""
    headings = {plain(heading) for load in build.problem.loads for heading, _ in load.extra}
    told = not headings.isdisjoint(IN_HAND)
    for item, loads in _by_item(build.problem.loads):
        names = tuple(load.name for load in loads)
        said = build.carried(names, IN_HAND) if told else "not told"
        missing = to_buy(said, len(loads)) if told else len(loads)
        if missing:
            kind = "; ".join(dict.fromkeys(load.type for load in loads if load.type))
            yield ("item", item, kind, *[None] * 8, len(loads), said, missing, build.carried(names, LINK), None)


def _by_item(loads: Iterable[Load]) -> Iterator[tuple[str, list[Load]]]:
    items: dict[str, list[Load]] = defaultdict(list)
    for load in loads:
        items[load.item].append(load)
    yield from items.items()


def to_buy(in_hand: str, needed: int) -> int:
    """How many of an item are missing, by what the schedule says; of several cells the one that leaves most to buy."""
    return max(_missing(" ".join(words.split()), needed) for words in in_hand.casefold().split(";"))


def _missing(words: str, needed: int) -> int:
    if words in NOTHING:
        return needed
    return max(0, needed - int(words)) if words.isdecimal() else 0
