"""Objects as a notebook shows them: a title, a few facts and the first rows of a table, as escaped HTML."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pandas import DataFrame

ROWS_SHOWN = 12
_RIGHT = ' style="text-align: right"'


def shown(
    title: str,
    facts: Iterable[tuple[str, object]],
    headings: Sequence[str] = (),
    rows: Iterable[Sequence[object]] = (),
) -> str:
    """HTML of a title, of facts (what, value) and of a table, of which the first rows are shown.

    Everything is escaped. None is shown as nothing; other figures with six significant digits.
    """
    listed = [tuple(row) for row in rows]
    parts = [f"<strong>{escape(title)}</strong>", *_facts(facts), *_table(headings, listed)]
    if len(listed) > ROWS_SHOWN:
        parts.append(f"<p>and {len(listed) - ROWS_SHOWN} more rows</p>")
    return f"<div>{''.join(parts)}</div>"


def framed(title: str, facts: Iterable[tuple[str, object]], frame: DataFrame) -> str:
    """The same of a DataFrame, without its index."""
    return shown(title, facts, [f"{name}" for name in frame.columns], frame.itertuples(index=False, name=None))


def _facts(facts: Iterable[tuple[str, object]]) -> list[str]:
    items = "".join(f"<li>{escape(what)}: {_text(value)}</li>" for what, value in facts if value not in (None, ""))
    return [f"<ul>{items}</ul>"] if items else []


def _table(headings: Sequence[str], rows: Sequence[Sequence[object]]) -> list[str]:
    if not rows:
        return []
    head = "".join(f'<th scope="col">{escape(heading)}</th>' for heading in headings)
    body = "".join(f"<tr>{''.join(map(_cell, row))}</tr>" for row in rows[:ROWS_SHOWN])
    return [f"<table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"]


def _cell(value: object) -> str:
    right = _RIGHT if isinstance(value, int | float) and not isinstance(value, bool) else ""
    return f"<td{right}>{_text(value)}</td>"


def _text(value: Any) -> str:
    if value is None or value != value:  # pandas turns None among figures into NaN
        return ""
    if isinstance(value, float):
        return f"{value:.6g}"
    if isinstance(value, tuple | list):
        return escape(", ".join(f"{one}" for one in value))
    return escape(f"{value}")
