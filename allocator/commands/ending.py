"""How a command ends: exit codes, and what may go wrong as text on standard error."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NoReturn

import typer

if TYPE_CHECKING:
    from allocator.layout import Layout

DONE, NO, WRONG_INPUT, NOTHING_FOUND, INTERNAL, INTERRUPTED, PIPE_CLOSED = 0, 1, 2, 3, 70, 130, 141


EPILOG = (
    "Exit codes: 0 solved or clean; 1 no layout possible, or violations; 2 the input is wrong or cannot be "
    "read; 3 stopped with nothing found; 70 internal error; 130 interrupted."
)

ProblemPath = Annotated[Path, typer.Argument(metavar="PROBLEM", help="The problem folder.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print the result for programs.")]


def end(action: Callable[[], int]) -> NoReturn:
    """Run a command; turn what may go wrong into text on standard error and an exit code."""
    from allocator.layout import LayoutError
    from allocator.problem import ProblemError

    try:
        code = action()
        sys.stdout.flush()
    except (ProblemError, LayoutError) as error:
        note(str(error))
        code = WRONG_INPUT
    except BrokenPipeError:
        # the reader has seen enough; nothing more can be written, at interpreter exit either
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        code = PIPE_CLOSED
    except OSError as error:
        what = f"{error.filename or 'file'}: {error.strerror or error}"
        note(f"{what}. Give a path that can be read or written.")
        code = WRONG_INPUT
    except KeyboardInterrupt:
        note("interrupted before anything was found")
        code = INTERRUPTED
    raise typer.Exit(code)


def note(text: str) -> None:
    """Say something on standard error, without what a terminal would obey."""
    from allocator.showing.text import printable

    print(printable(text).plain, file=sys.stderr)


def read_layout(path: Path) -> Layout:
    """Read a layout file; its mistakes carry the name of the file."""
    from allocator.layout import Layout, LayoutError

    try:
        return Layout.from_json(path.read_text(encoding="utf-8-sig"))
    except LayoutError as error:
        raise LayoutError(f"{path}: {error}") from None
    except UnicodeDecodeError:
        raise LayoutError(f"{path}: not UTF-8 text. Give a layout.json file.") from None
