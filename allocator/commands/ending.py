"""How a command ends: exit codes, and what may go wrong as text on standard error."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NoReturn

import typer

from allocator.commands import streams
from allocator.commands.interrupts import INTERRUPTED as INTERRUPTED
from allocator.commands.numbers import finite, share

if TYPE_CHECKING:
    from allocator.layout import Layout
    from allocator.problem import Problem

DONE, NO, WRONG_INPUT, NOTHING_FOUND, INTERNAL, PIPE_CLOSED = 0, 1, 2, 3, 70, 141

EPILOG = (
    "Exit codes: 0 solved or clean; 1 no layout possible, or violations; 2 the input is wrong or cannot be "
    "read; 3 stopped before a layout was found; 70 internal error; 130 interrupted."
)


def example(line: str, codes: str = EPILOG) -> str:
    """What a help text ends with: a command to copy, which no line break may part, and the exit codes."""
    return f"\b\nExample:\n  {line}\n\n{codes}"


ProblemPath = Annotated[Path, typer.Argument(metavar="PROBLEM", help="The problem folder or workbook.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print the result as JSON, for programs.")]
TimeLimit = Annotated[
    float | None,
    typer.Option(metavar="SECONDS", parser=finite, help="Stop the search after this long and keep the best so far."),
]
Gap = Annotated[
    float, typer.Option(metavar="SHARE", parser=share, help="Stop once the gap is this small, such as 0.01 or '1%'.")
]


def end(action: Callable[[], int], given: str = "the problem folder") -> NoReturn:
    """Run a command; turn what may go wrong into text on standard error and an exit code.

    ``given`` is what an internal error is to be reported with.
    """
    from allocator.layout import LayoutError
    from allocator.problem import ProblemError
    from allocator.writing.refusal import OutputError

    try:
        code = action()
        sys.stdout.flush()
    except (ProblemError, LayoutError, OutputError) as error:
        note(str(error))
        code = WRONG_INPUT
    except BrokenPipeError:
        # the reader has seen enough; nothing more can be written, at interpreter exit either
        streams.give_up_output()
        code = PIPE_CLOSED
    except OSError as error:
        note(f"{_what(error)}. Give a path that can be read or written.")
        if error.filename is None:
            streams.give_up_output()  # it may be full, and would fail again at the exit
        code = WRONG_INPUT
    except KeyboardInterrupt as stop:
        note(str(stop) or "interrupted before anything was found")
        code = INTERRUPTED
    except Exception as error:
        code = internal_error(error, given)
    raise typer.Exit(code)


def internal_error(error: Exception, given: str = "the problem folder") -> int:
    """Say that the engine itself is at fault and where the traceback lies; the exit code is never that of a verdict."""
    # nothing is imported here: an import may be what went wrong
    solving = sys.modules.get("allocator.search.solve")
    if solving is not None and isinstance(error, solving.InternalError):
        note(f"internal error: {error}")
        note(f"Nothing is shown or written. Please report it with {given}.")
    else:
        note(f"internal error: {type(error).__name__}: {error}")
        note(f"This is a fault in allocator, not in your input. {_traceback_of(error)} Please report it with {given}.")
    return INTERNAL


def _traceback_of(error: Exception) -> str:
    """Keep the traceback in a file of its own, and say where; without a place for it, say it all."""
    import tempfile
    import traceback

    told = "".join(traceback.format_exception(error))
    try:
        with tempfile.NamedTemporaryFile(
            "w", encoding="utf-8", errors="replace", prefix="allocator-error-", suffix=".txt", delete=False
        ) as file:
            file.write(told)
    except OSError:
        return f"\n{told}"
    return f"The details are in {file.name}."


def _what(error: OSError) -> str:
    """What could not be read or written; the output itself where no file is named."""
    return f"{error.filename or 'output'}: {error.strerror or error}"


def note(text: str) -> None:
    """Say something on standard error, without what a terminal would obey."""
    from allocator.reporting.text import printable

    print(printable(text).plain, file=sys.stderr)


def print_json(record: object) -> None:
    """A result for programs, on standard output."""
    sys.stdout.write(json.dumps(record, indent=1, ensure_ascii=False) + "\n")


def read_layout(path: Path) -> Layout:
    """Read a layout file; its mistakes carry the name of the file."""
    from allocator.layout import Layout, LayoutError
    from allocator.reading.opening import read_file
    from allocator.writing.moving import heal_for_reading

    heal_for_reading(path.absolute().parent)
    data = read_file(path)
    try:
        return Layout.from_json(data.decode("utf-8-sig"))
    except LayoutError as error:
        raise LayoutError(f"{path}: {error}") from None
    except UnicodeDecodeError:
        raise LayoutError(f"{path}: not UTF-8 text. Give a layout.json file.") from None


def doubt(problem: Problem, layout: Layout, name: str = "the layout") -> None:
    """Warn where a layout was made for another state of the problem, or for another problem."""
    if layout.problem_sha256 and layout.problem_sha256 != problem.digest:
        same = layout.problem == problem.name
        what = "another state of the problem" if same else f"another problem, '{layout.problem}'"
        note(f"warning: {name} was made for {what}; it is used with this one")


def ended(status: str, interrupted: str = "") -> int:
    """The exit code of a search by its status; ``interrupted`` says what is shown where Ctrl-C stopped it."""
    from allocator.layout import FEASIBLE, INFEASIBLE, OPTIMAL

    if interrupted:
        note(f"interrupted: {interrupted}")
        return INTERRUPTED
    return {OPTIMAL: DONE, FEASIBLE: DONE, INFEASIBLE: NO}.get(status, NOTHING_FOUND)
