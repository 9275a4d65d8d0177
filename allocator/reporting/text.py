"""Blocks as text: readable at 80 columns, on a terminal, in a pipe and in a file."""

from __future__ import annotations

from collections.abc import Iterable
from io import StringIO
from typing import IO

from rich.box import SIMPLE_HEAD, Box
from rich.console import Console
from rich.padding import Padding
from rich.table import Table as RichTable
from rich.text import Text

from allocator.reporting.blocks import Block, Heading, cell_text
from allocator.table import Table

WIDTH = 80
ITEM = "* "
MOST_ROWS = 2_000
"""Rows of a table that are laid out as text: nobody reads more, and a damaged layout makes some ten thousand."""
WHOLE = 16  # the longest pin or size that is kept on one line

# a rule of hyphens under the headings, nothing else: for pipes and files
_PLAIN = Box("    \n    \n -- \n    \n    \n    \n    \n    \n", ascii=True)
_TONES = {"plain": "", "good": "green", "bad": "bold red", "quiet": "dim"}


def printable(text: str) -> Text:
    """A user's text as it stands: square brackets are no markup, control characters become '?'."""
    return Text("".join(letter if letter.isprintable() or letter == "\n" else "?" for letter in text))


def plain(blocks: Iterable[Block], width: int = WIDTH) -> str:
    """Blocks as text without colour codes and without box drawing, no blanks at the ends of lines."""
    stream = StringIO()
    console = Console(file=stream, width=width, force_terminal=False, no_color=True, legacy_windows=False)
    _print(console, blocks, _PLAIN)
    return "\n".join(line.rstrip() for line in stream.getvalue().splitlines()) + "\n"


def show(blocks: Iterable[Block], stream: IO[str]) -> None:
    """Print blocks: with colours on a terminal, else as `plain` gives them."""
    if stream.isatty():
        _print(Console(file=stream), blocks, SIMPLE_HEAD)
    else:
        stream.write(plain(blocks))
        stream.flush()


def _print(console: Console, blocks: Iterable[Block], box: Box) -> None:
    for number, block in enumerate(blocks):
        opens = isinstance(block, Heading | Table)
        if opens and number:
            console.print()
        if isinstance(block, Table):
            _print_table(console, block, box)
        elif isinstance(block, Heading):
            _print_text(console, block.text, "bold underline" if box is SIMPLE_HEAD else "")
        else:
            _print_text(console, block.text, _TONES[block.tone])


def _print_text(console: Console, text: str, style: str) -> None:
    """Text broken at the width; the lines after the first of an item ('* ...') hang under it."""
    shown: Text | RichTable = printable(text)
    if text.startswith(ITEM):
        shown = RichTable.grid(padding=(0, 1, 0, 0))
        shown.add_row(ITEM.strip(), printable(text.removeprefix(ITEM)))
    console.print(shown, style=style, highlight=False, overflow="fold")


def _cell(cell: str) -> Text | Padding:
    """A cell; one that is indented stays so on all its lines."""
    indent = len(cell) - len(cell.lstrip(" "))
    text = printable(cell[indent:])
    return Padding(text, (0, 0, 0, indent)) if indent else text


def _print_table(console: Console, table: Table, box: Box) -> None:
    if table.title:
        _print_text(console, table.title, "bold")
    grid = RichTable(box=box, padding=(0, 1, 0, 0), pad_edge=False, show_edge=False, header_style="bold")
    rows = [list(map(cell_text, row, table.columns)) for row in table.rows[:MOST_ROWS]]
    for place, column in enumerate(table.columns):
        widest = max((len(row[place]) for row in rows), default=0)
        grid.add_column(
            printable(column.heading),
            justify="right" if column.right else "left",
            no_wrap=column.right or (column.whole and widest <= WHOLE),
            overflow="fold",
        )
    for row in rows:
        grid.add_row(*map(_cell, row))
    console.print(grid, highlight=False)
    left = len(table.rows) - MOST_ROWS
    if left > 0:
        _print_text(console, f"... and {left:,} rows more, which --json gives, and the lists that --out writes", "")
