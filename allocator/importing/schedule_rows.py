"""Columns and rows of a schedule as they were read, as frozen objects."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ReadColumn:
    """A column of the schedule: its heading, and what it was read as (empty: carried along)."""

    heading: str
    read_as: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One row of the schedule as a row of ``loads.csv``.

    ``number`` and ``current`` are texts as they are to stand there: what cannot be read is kept as it was written,
    so that it is refused there. ``levels`` holds one text per condition, ``own`` further columns of ``loads.csv``,
    ``original`` every cell under its heading.
    """

    row: int
    name: str
    place: str
    number: str
    current: str
    levels: tuple[str, ...] = ()
    own: tuple[tuple[str, str], ...] = ()
    in_hand: str = ""
    section: str = ""
    ambient: str = ""
    length: str = ""
    original: tuple[tuple[str, str], ...] = ()
