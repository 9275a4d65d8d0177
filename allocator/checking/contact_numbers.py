"""The rule on numbers of contacts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from allocator.checking.report import Breach
from allocator.evaluation.contact_numbering import contacts_of, numbers_of
from allocator.evaluation.context import Context


def contact_number(context: Context) -> Iterator[Breach]:
    """A contact's number is one of its set, and no two wires share a contact."""
    taken: Counter[tuple[str, int]] = Counter()
    for contact in contacts_of(context.layout):
        bulkhead = context.problem.bulkhead.get(contact.bulkhead)
        if contact.number is None or bulkhead is None:
            continue
        taken[contact.bulkhead, contact.number] += 1
        if contact.number not in numbers_of(bulkhead, contact.set):
            text = f"contact {contact.number} of bulkhead {contact.bulkhead} is not in set {contact.set}"
            yield Breach(f"contact {contact.number} of bulkhead {contact.bulkhead}", 1, "contacts", text)
    for (bulkhead_name, number), times in sorted(taken.items()):
        if times > 1:
            object_ = f"contact {number} of bulkhead {bulkhead_name}"
            yield Breach(object_, times - 1, "wires", f"{object_} is used by {times} wires")
