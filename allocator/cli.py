"""The command ``allocator``: its commands, by name."""

from __future__ import annotations

import typer

from allocator.commands import check, compare, demand, explain, importing, new, report, revise, solve, tradeoff
from allocator.commands.ending import EPILOG

app = typer.Typer(
    name="allocator",
    help="Decides which output of which power-distribution unit feeds each load, and proves how good the answer is.",
    epilog=EPILOG,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)


@app.callback()
def _allocator() -> None:
    """Keep the commands named, however few there are."""


app.command(epilog=new.EXAMPLE)(new.new)
app.command("import", epilog=importing.EXAMPLE)(importing.import_)
app.command(epilog=demand.EXAMPLE)(demand.demand)
app.command(epilog=solve.EXAMPLE)(solve.solve)
app.command(epilog=check.EXAMPLE)(check.check)
app.command(epilog=compare.EXAMPLE)(compare.compare)
app.command(epilog=explain.EXAMPLE)(explain.explain)
app.command(epilog=revise.EXAMPLE)(revise.revise)
app.command(epilog=report.EXAMPLE)(report.report)
app.command(epilog=tradeoff.EXAMPLE)(tradeoff.tradeoff)


def main() -> None:
    """Entry point of the command."""
    app()
