"""Bulkheads: every contact by its number, and the feeds that pass on studs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from allocator.evaluation.contact_numbering import numbers_of
from allocator.layout import Contact
from allocator.problem import Bulkhead
from allocator.reporting.labels import piece_labels
from allocator.reporting.lists.build import Build
from allocator.reporting.lists.listing import listing
from allocator.reporting.lists.parting import cuts_of
from allocator.reporting.whole_wires import FEED, WholeWire, wires_of
from allocator.table import Row, Table, count, figure, fill_in, text

COLUMNS = (
    text("bulkhead"),
    text("kind"),
    count("contact"),
    text("takes"),
    figure("rating", "A", 1),
    text("state"),
    text("on one side"),
    text("on the other"),
    text("size"),
    figure("current", "A"),
    text("loads"),
    fill_in("done"),
)

STUD, FREE, TAKEN = "stud", "free", "taken"

NOTE = (
    "Contacts are numbered from 1, one set after another in the order of the problem; a wire that stays keeps its "
    "number in a revision. Feeds pass on studs, which have no number. In a gland a number is a hole."
)


@dataclass(frozen=True)
class _Passing:
    """A wire where it passes a bulkhead; labels of its pieces on both sides, alike where nothing parts it."""

    wire: WholeWire
    contact: Contact | None
    before: str
    after: str


def bulkheads(build: Build) -> Table:
    """Contacts in the order of their numbers, free ones too; then the studs."""
    passing: dict[str, list[_Passing]] = {name: [] for name in build.problem.bulkhead}
    for wire in wires_of(build.context, build.labels):
        for name, one in _passings(build, wire):
            passing[name].append(one)
    rows = (row for one in build.problem.bulkheads for row in _bulkhead(one, passing[one.name]))
    return listing("bulkhead-contacts", "Contacts of bulkheads", COLUMNS, rows, NOTE, breaks_at="bulkhead")


def _passings(build: Build, wire: WholeWire) -> Iterator[tuple[str, _Passing]]:
    route = wire.conductor.route if wire.conductor is not None else None
    parted = cuts_of(build.problem, wire.conductor, wire.contacts)
    labels = piece_labels(wire.label, len(parted) + 1)
    left, side = list(wire.contacts), 0
    for name in route.bulkheads if route is not None else ():
        contact = next((one for one in left if one.bulkhead == name), None)
        if contact is not None:
            left.remove(contact)
        further = side + (build.problem.bulkhead[name].kind == "connector")
        yield name, _Passing(wire, contact, labels[side], labels[further])
        side = further


def _bulkhead(bulkhead: Bulkhead, passing: list[_Passing]) -> Iterator[Row]:
    at = {key: list(group) for key, group in groupby(sorted(passing, key=_order), key=_order)}
    for n, one in enumerate(bulkhead.contacts):
        low, high = one.wire_mm2
        head = (bulkhead.name, bulkhead.kind)
        own = (f"{low:g} to {high:g} mm2", one.continuous_a)
        for number in (*numbers_of(bulkhead, n), None):
            # without a number: more wires than contacts, which breaks a rule
            taken = at.get((0, n, number or 0), [])
            if number is not None and not taken:
                yield (*head, number, *own, FREE, *[None] * 6)
            for wire in taken:
                yield (*head, number, *own, TAKEN, *_wire(wire))
    feeds = at.get((1, 0, 0), [])
    for wire in feeds:
        yield (bulkhead.name, bulkhead.kind, None, STUD, None, TAKEN, *_wire(wire))
    for _ in range(bulkhead.studs - len(feeds)):
        yield (bulkhead.name, bulkhead.kind, None, STUD, None, FREE, *[None] * 6)


def _order(passing: _Passing) -> tuple[int, int, int]:
    """Contacts by set and number, then feeds, then what has no contact at all."""
    if passing.wire.use == FEED:
        return (1, 0, 0)
    if passing.contact is None:
        return (2, 0, 0)
    return (0, passing.contact.set, passing.contact.number or 0)


def _wire(passing: _Passing) -> Row:
    wire = passing.wire
    current = wire.conductor.current_a if wire.conductor is not None else None
    return (passing.before, passing.after, wire.size, current, "; ".join(wire.loads), None)
