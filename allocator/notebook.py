"""Objects as a notebook shows them: a title, a few facts and the first rows of a table, as escaped HTML."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from html import escape
from typing import Any

from allocator.table import Cell, Table

ROWS_SHOWN = 12
_RIGHT = ' style="text-align: right"'


def shown(title: str, facts: Iterable[tuple[str, object]], table: Table | None = None) -> str:
    """HTML of a title, of facts (what, value) and of a table, of which the first rows are shown.

    Everything is escaped. None is shown as nothing; other figures with six significant digits.
    """
    parts = [f"<strong>{escape(title)}</strong>", *_facts(facts), *(_table(table) if table is not None else ())]
    return f"<div>{''.join(parts)}</div>"


def _facts(facts: Iterable[tuple[str, object]]) -> list[str]:
    items = "".join(f"<li>{escape(what)}: {_text(value)}</li>" for what, value in facts if value not in (None, ""))
    return [f"<ul>{items}</ul>"] if items else []


def _table(table: Table) -> Iterator[str]:
    if table.rows:
        head = "".join(f'<th scope="col">{escape(key)}</th>' for key in table.keys)
        body = "".join(f"<tr>{''.join(map(_cell, row))}</tr>" for row in table.rows[:ROWS_SHOWN])
        yield f"<table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"
    if len(table.rows) > ROWS_SHOWN:
        yield f"<p>and {len(table.rows) - ROWS_SHOWN} more rows</p>"


def _cell(value: Cell) -> str:
    right = _RIGHT if isinstance(value, int | float) and not isinstance(value, bool) else ""
    return f"<td{right}>{_text(value)}</td>"


def _text(value: Any) -> str:
    if value is None or value != value:
        return ""
    if isinstance(value, float):
        return f"{value:.6g}"
    if isinstance(value, tuple | list):
        return escape(", ".join(f"{one}" for one in value))
    return escape(f"{value}")
