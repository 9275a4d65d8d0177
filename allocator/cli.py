"""The command ``allocator``: its commands, by name."""

from __future__ import annotations

import typer

from allocator.commands.check import check
from allocator.commands.compare import compare
from allocator.commands.ending import EPILOG
from allocator.commands.solve import solve

app = typer.Typer(
    name="allocator",
    help="Decides which output of which power-distribution unit feeds each load, and proves how good the answer is.",
    epilog=EPILOG,
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)


@app.callback()
def _allocator() -> None:
    """Keep the commands named, however few there are."""


for command in (solve, check, compare):
    app.command(epilog=EPILOG)(command)


def main() -> None:
    """Entry point of the command."""
    app()
