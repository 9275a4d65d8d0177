"""The command ``allocator``: its commands, by name."""

from __future__ import annotations

import typer

from allocator.commands.check import check
from allocator.commands.compare import compare
from allocator.commands.demand import EXAMPLE as DEMAND_EXAMPLE
from allocator.commands.demand import demand
from allocator.commands.ending import EPILOG
from allocator.commands.explain import EXAMPLE as EXPLAIN_EXAMPLE
from allocator.commands.explain import explain
from allocator.commands.importing import EXAMPLE as IMPORT_EXAMPLE
from allocator.commands.importing import import_
from allocator.commands.new import EXAMPLE as NEW_EXAMPLE
from allocator.commands.new import new
from allocator.commands.report import EXAMPLE as REPORT_EXAMPLE
from allocator.commands.report import report
from allocator.commands.revise import EXAMPLE as REVISE_EXAMPLE
from allocator.commands.revise import revise
from allocator.commands.solve import solve
from allocator.commands.tradeoff import EXAMPLE as TRADEOFF_EXAMPLE
from allocator.commands.tradeoff import tradeoff

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


app.command(epilog=NEW_EXAMPLE)(new)
app.command("import", epilog=IMPORT_EXAMPLE)(import_)
app.command(epilog=DEMAND_EXAMPLE)(demand)
for command in (solve, check, compare):
    app.command(epilog=EPILOG)(command)
app.command(epilog=EXPLAIN_EXAMPLE)(explain)
app.command(epilog=REVISE_EXAMPLE)(revise)
app.command(epilog=REPORT_EXAMPLE)(report)
app.command(epilog=TRADEOFF_EXAMPLE)(tradeoff)


def main() -> None:
    """Entry point of the command."""
    app()
