"""Marks and short words in cells: yes, no, ticks, ditto, totals, how many."""

from __future__ import annotations

import re

from allocator.importing.figures import NotKnownError, number
from allocator.reading.plain_values import NO, YES

_TICKED = {"x", "✓", "✔", "☑", "•"}
_TICKS = _TICKED | {"*", "got", "have", "ok", "done", "ja", "oui", "here", "in hand", "in stock"}
_CROSSES = {"✗", "✘", "☐", "-", "–", "nein", "non", "not yet", "to buy", "to order", "ordered", "on order", "missing"}
_DITTO = {'"', "''", "“", "”", "〃", "ditto", "do.", "do", "as above", '-"-', "same", "dto.", "dto"}
_TOTAL = re.compile(
    r"(?:grand\s+|sub[\s-]?|over)?(?:totals?|sums?|summe|gesamt|total général)"
    r"(?:\s+(?:load|loads|current|amps|draw|power|watts|a|w|of .*|for .*|all.*|here.*|\(.*\)))*\s*[:.=]?",
    re.IGNORECASE,
)
_OFF = re.compile(r"([0-9]{1,6})(?:\.0+)?\s*(?:x|×|off|pcs?\.?|pieces|no\.?|nos\.?|stk\.?|ea\.?)?", re.IGNORECASE)
_TIMES = re.compile(r"(?:x|×)\s*([0-9]{1,6})", re.IGNORECASE)
_COUNTED = re.compile(r"([0-9]{1,3})\s*(?:x|×|off)\s+(\S.*)", re.IGNORECASE)
MOST = 10_000  # more of one item is a figure of something else
_PAIRS = {"pair": "2", "a pair": "2", "one": "1", "two": "2", "three": "3", "four": "4", "single": "1"}


def is_mark(text: str) -> bool:
    """Whether a text only says yes or no."""
    word = text.strip().lower()
    return word in _TICKS or word in _CROSSES or word in YES or word in NO


def yes_or_no(text: str) -> str:
    """``yes`` or ``no`` for a mark; any other text as it stands, nothing for an empty one."""
    word = text.strip().lower()
    if word in YES or word in _TICKS:
        return "yes"
    return "no" if word in NO or word in _CROSSES else text


def level_of(text: str, mark: str | None) -> str | None:
    """The level that a cell of a condition gives, as text from 0 to 1; None where it gives none."""
    word = text.strip().lower()
    if word in YES or word in _TICKED or word in ("ja", "oui"):
        return "1"
    if word in NO or word in ("-", "–", "✗", "✘", "nein", "non"):
        return "0"
    percent = word.endswith("%")
    try:
        value = number(word.rstrip("% "), mark)
    except NotKnownError:
        return None
    value = value / 100.0 if percent else value
    return f"{value:.6g}" if 0.0 <= value <= 1.0 else None


def is_tick(text: str) -> bool:
    """Whether a cell of a condition is ticked rather than filled with a figure: its empty neighbours then mean no."""
    return text.strip().lower() in _TICKED


def is_ditto(text: str) -> bool:
    """Whether a cell says: the same as above."""
    return text.strip().lower() in _DITTO


def is_total(text: str) -> bool:
    """Whether the first words of a row call it a total."""
    return _TOTAL.fullmatch(text.strip()) is not None


def how_many(text: str) -> str | None:
    """A count as digits; None where a text is no count."""
    word = " ".join(text.lower().split())
    if word in _PAIRS:
        return _PAIRS[word]
    found = _OFF.fullmatch(word) or _TIMES.fullmatch(word)
    return None if found is None or int(found[1]) > MOST else str(int(found[1]))


def counted_name(text: str) -> tuple[str, str] | None:
    """Count and name of a text such as ``2 x reading lamp``."""
    found = _COUNTED.fullmatch(text)
    return None if found is None else (found[1], found[2])
