"""The command ``allocator``: its commands, by name."""

from __future__ import annotations

import os
import sys
from typing import Annotated

import typer

from allocator.commands import check, compare, demand, explain, importing, new, report, revise, solve, streams, tradeoff
from allocator.commands.ending import EPILOG, PIPE_CLOSED, WRONG_INPUT, internal_error, note

app = typer.Typer(
    name="allocator",
    epilog=EPILOG,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)


def _versions(asked: bool) -> None:
    """Print what this is made with, for a report of a fault."""
    if not asked:
        return
    import platform
    from importlib.metadata import version

    for name, said in (
        ("allocator", version("allocator")),
        ("PuLP", version("pulp")),
        ("HiGHS", version("highspy")),
        ("Python", platform.python_version()),
    ):
        typer.echo(f"{name} {said}")
    raise typer.Exit


@app.callback()
def _allocator(
    _: Annotated[
        bool,
        typer.Option("--version", callback=_versions, is_eager=True, help="Show the version, and those of the solver."),
    ] = False,
) -> None:
    """Decides which output of which power-distribution unit feeds each load, and proves how good the answer is."""
    # pictures go into files: what a notebook shows its own with is of no use here, and need not be installed
    os.environ.pop("MPLBACKEND", None)


app.command(epilog=new.EXAMPLE, short_help="Make a small problem folder to start from.")(new.new)
app.command("import", epilog=importing.EXAMPLE, short_help="Turn a spreadsheet of loads into a problem folder.")(
    importing.import_
)
app.command(epilog=demand.EXAMPLE, short_help="Count outputs and amperes before any unit is chosen.")(demand.demand)
app.command(epilog=solve.EXAMPLE, short_help="Find the best layout, prove it, check it, show it.")(solve.solve)
app.command(epilog=check.EXAMPLE, short_help="Check a layout against every rule.")(check.check)
app.command(epilog=compare.EXAMPLE, short_help="Show layouts of one problem side by side.")(compare.compare)
app.command(epilog=explain.EXAMPLE, short_help="Explain why a load is where it is, or why nothing fits.")(
    explain.explain
)
app.command(epilog=revise.EXAMPLE, short_help="Adapt a built layout to a changed problem.")(revise.revise)
app.command(epilog=report.EXAMPLE, short_help="Write the lists and page of a layout again.")(report.report)
app.command(epilog=tradeoff.EXAMPLE, short_help="Show how much copper extra outputs save.")(tradeoff.tradeoff)


def main() -> None:
    """Entry point of the command. What goes wrong outside a command's own work is no verdict either."""
    streams.ready()
    out = sys.stdout
    try:
        app()
    except SystemExit:
        # typer ends with 1, after it has put another stream there, where the reader of a help text has gone
        if sys.stdout is not out:
            raise SystemExit(PIPE_CLOSED) from None
        raise
    except OSError as error:
        streams.give_up_output()
        note(f"{error.strerror or error}. Give the output a place where it can be written.")
        raise SystemExit(WRONG_INPUT) from None
    except Exception as error:
        raise SystemExit(internal_error(error)) from None
