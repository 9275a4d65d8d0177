"""Rules on wires and feeds that pass a bulkhead."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from allocator.checking.report import Breach, number
from allocator.evaluation.context import Context
from allocator.evaluation.laid_conductors import Conductor, accepts, distance_mm2
from allocator.evaluation.tolerance import excess
from allocator.layout import Contact
from allocator.problem import ContactSet


def contact_named(context: Context) -> Iterator[Breach]:
    """A wire takes one contact for each time it crosses a bulkhead, each core of a given wire one of its own."""
    for _, contacts, conductor, cores in context.through_bulkheads():
        named = Counter(contact.bulkhead for contact in contacts)
        crossed = Counter(conductor.route.bulkheads * cores if conductor.route is not None else ())
        for bulkhead in sorted(named.keys() | crossed.keys()):
            off = named[bulkhead] - crossed[bulkhead]
            if off and conductor.route is not None:
                text = (
                    f"{conductor.label} crosses bulkhead {bulkhead} {crossed[bulkhead]} times, "
                    f"but has {named[bulkhead]} contacts there"
                )
                yield Breach(conductor.label, abs(off), "contacts", text)
        for contact in contacts:
            if contact.bulkhead in context.problem.bulkhead and _set(context, contact) is None:
                text = f"{conductor.label} takes set {contact.set}, which {contact.bulkhead} does not have"
                yield Breach(conductor.label, 1, "contacts", text)


def contact_size(context: Context) -> Iterator[Breach]:
    """A contact takes the size of its wire."""
    for conductor, contact, contact_set in _taken(context):
        if conductor.row is not None and not accepts(contact_set.wire_mm2, conductor.row.area_mm2):
            off = distance_mm2(contact_set.wire_mm2, conductor.row.area_mm2)
            low, high = contact_set.wire_mm2
            text = (
                f"{conductor.label} of {number(conductor.row.area_mm2)} mm2 is {number(off)} mm2 outside what "
                f"its contact of bulkhead {contact.bulkhead} takes, {number(low)} to {number(high)} mm2"
            )
            yield Breach(conductor.label, off, "mm2", text)


def contact_current(context: Context) -> Iterator[Breach]:
    """A contact carries the current of its wire."""
    for conductor, contact, contact_set in _taken(context):
        rated = contact_set.continuous_a
        over = excess(conductor.current_a, rated) if rated is not None else 0.0
        if over > 0.0:
            text = (
                f"{conductor.label} carries {number(conductor.current_a)} A, {number(over)} A over "
                f"its contact of bulkhead {contact.bulkhead}"
            )
            yield Breach(conductor.label, over, "A", text)


def contact_count(context: Context) -> Iterator[Breach]:
    """No contact set of a bulkhead is taken more often than it has contacts."""
    taken = Counter((contact.bulkhead, contact.set) for _, contact, _ in _taken(context))
    for bulkhead in context.problem.bulkheads:
        for n, contact_set in enumerate(bulkhead.contacts):
            over = taken[bulkhead.name, n] - contact_set.count
            if over > 0:
                object_ = f"contact set {n} of bulkhead {bulkhead.name}"
                text = f"{object_} is used {over} times more than it has contacts"
                yield Breach(object_, over, "contacts", text)


def bulkhead_studs(context: Context) -> Iterator[Breach]:
    """No more feeds cross a bulkhead than it has studs."""
    crossed = Counter(
        name for feed in context.feeds.values() if feed.route is not None for name in feed.route.bulkheads
    )
    for bulkhead in context.problem.bulkheads:
        over = crossed[bulkhead.name] - bulkhead.studs
        if over > 0:
            text = f"bulkhead {bulkhead.name} is crossed by {over} feeds more than its {bulkhead.studs} studs"
            yield Breach(f"bulkhead {bulkhead.name}", over, "studs", text)


def _set(context: Context, contact: Contact) -> ContactSet | None:
    bulkhead = context.problem.bulkhead.get(contact.bulkhead)
    known = bulkhead is not None and 0 <= contact.set < len(bulkhead.contacts)
    return bulkhead.contacts[contact.set] if bulkhead is not None and known else None


def _taken(context: Context) -> Iterator[tuple[Conductor, Contact, ContactSet]]:
    for _, contacts, conductor, _ in context.through_bulkheads():
        for contact in contacts:
            contact_set = _set(context, contact)
            if contact_set is not None:
                yield conductor, contact, contact_set
