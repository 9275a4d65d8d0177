"""Rows of ``loads.csv`` from the items of a schedule."""

from __future__ import annotations

from collections.abc import Sequence

from allocator.importing import vocabulary as words
from allocator.importing.schedule_rows import Item, ReadColumn
from allocator.problem.near_misses import near_miss
from allocator.reading.headings import KEPT
from allocator.reading.loads import LOAD_COLUMNS

_ALONG = (words.RUNNING_NUMBER, words.WIRE, words.FUSE, words.ENERGY)
"""Roles of columns that are told from others and carried along all the same."""
ROW = "schedule_row"
IN_HAND, SECTION = "in_hand", "section"

Records = list[dict[str, str]]


def load_records(items: Sequence[Item], columns: Sequence[ReadColumn], conditions: Sequence[str]) -> Records:
    """Rows of ``loads.csv``: what the engine reads, marks, then every column as it was.

    What is carried along keeps its heading, so that lists show it and take colours and links from it. What was read
    stands once more, as it was written, under a heading that is not read again.
    """
    kept = _kept(columns, conditions)
    own = list(dict.fromkeys(column for item in items for column, _ in item.own))
    in_hand = any(item.in_hand for item in items)
    sections = any(item.section for item in items)
    records = []
    for item in items:
        record = {"load": item.name, "place": item.place, "current": item.current, "quantity": item.number or "1"}
        record |= {column: dict(item.own).get(column, "") for column in own}
        record |= dict(zip(conditions, item.levels, strict=True))
        record |= {IN_HAND: item.in_hand} if in_hand else {}
        record |= {SECTION: item.section} if sections else {}
        record[ROW] = str(item.row)
        record |= {heading: text for heading, (_, text) in zip(kept, item.original, strict=True)}
        records.append(record)
    return records


def _kept(columns: Sequence[ReadColumn], conditions: Sequence[str]) -> list[str]:
    """The headings that the columns of the schedule get in ``loads.csv``; none is nearly one of the engine's."""
    taken = [*LOAD_COLUMNS.known, *conditions, IN_HAND, SECTION, ROW]
    headings = []
    for column in columns:
        bare = column.heading.partition("[")[0]
        if column.read_as and column.read_as.partition(" [")[0] not in _ALONG:
            headings.append(f"{KEPT}{column.heading}")
        elif near_miss(column.heading, taken) is None and near_miss(bare, [*taken, *headings]) is None:
            headings.append(column.heading)
        else:
            headings.append(f"{column.heading} (schedule)")
    return headings
