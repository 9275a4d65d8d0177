"""The command ``allocator``: reads, calls, shows, and says by its exit code how it ended."""

from __future__ import annotations

import math
import os
import signal
import sys
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NoReturn, Self

import typer

if TYPE_CHECKING:
    from allocator.layout import Layout
    from allocator.problem import Problem

DONE, NO, WRONG_INPUT, NOTHING_FOUND, INTERNAL, INTERRUPTED, PIPE_CLOSED = 0, 1, 2, 3, 70, 130, 141

EPILOG = (
    "Exit codes: 0 solved or clean; 1 no layout possible, or violations; 2 the input is wrong or cannot be "
    "read; 3 stopped with nothing found; 70 internal error; 130 interrupted."
)

app = typer.Typer(
    name="allocator",
    help="Decides which output of which power-distribution unit feeds each load, and proves how good the "
    "answer is.",
    epilog=EPILOG,
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)

ProblemPath = Annotated[Path, typer.Argument(metavar="PROBLEM", help="The problem folder.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print the result for programs.")]


@app.callback()
def _allocator() -> None:
    """Keep the commands named, however few there are."""


def _share(text: str) -> float:
    """A share such as 0.01 or '1 %'."""
    value = _finite(text.removesuffix("%").strip())
    return value / 100.0 if text.endswith("%") else value


def _finite(text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not math.isfinite(value) or value < 0.0:
        raise typer.BadParameter(f"'{text}' is not a number of 0 or more")
    return value


@app.command(epilog=EPILOG)
def solve(
    problem: ProblemPath,
    out: Annotated[
        Path | None,
        typer.Option(metavar="DIR", help="Write layout.json, the tables as text, and CSV lists here."),
    ] = None,
    time_limit: Annotated[
        float | None,
        typer.Option(metavar="SECONDS", parser=_finite, help="Stop the search then, with the best so far."),
    ] = None,
    gap: Annotated[
        float,
        typer.Option(metavar="SHARE", parser=_share, help="Stop at this gap, such as 0.01 or '1%'."),
    ] = "0",  # type: ignore[assignment]  # typer hands a default to the parser as text
    start: Annotated[
        Path | None, typer.Option(metavar="LAYOUT", help="A known layout to start the search from.")
    ] = None,
    json: AsJson = False,
) -> None:
    """Find the best layout, prove it, check it, show it. Ctrl-C stops the search with the best so far."""
    _end(lambda: _solve(problem, out, time_limit, gap, start, json))


@app.command(epilog=EPILOG)
def check(
    problem: ProblemPath,
    layout: Annotated[Path, typer.Argument(metavar="LAYOUT", help="The layout.json, also one made by hand.")],
    json: AsJson = False,
) -> None:
    """Hold a layout against every rule; print every violation, with its amount."""
    _end(lambda: _check(problem, layout, json))


def _solve(
    path: Path, out: Path | None, time_limit_s: float | None, gap: float, start: Path | None, as_json: bool
) -> int:
    from allocator.layout import FEASIBLE, INFEASIBLE, OPTIMAL
    from allocator.reading import read_problem
    from allocator.showing import files, progress
    from allocator.showing.blocks import counted
    from allocator.solving import InternalError
    from allocator.solving import solve as solve_problem

    problem = read_problem(path)
    known = None if start is None else _read_layout(start)
    if out is not None:
        files.ensure_writable(out)
    _note(f"{problem.name}: {counted(len(problem.loads), 'load')}, {counted(len(problem.units), 'unit')}")
    try:
        with progress.Watch(sys.stderr) as watch, Interrupts() as interrupts:
            layout = solve_problem(problem, time_limit_s=time_limit_s, gap=gap, start=known, progress=watch)
    except InternalError as error:
        _note(f"internal error: {error}")
        _note("Nothing is shown or written. Please report it with the problem folder.")
        return INTERNAL
    if out is not None and layout.status in (OPTIMAL, FEASIBLE):
        files.write(out, files.contents(problem, layout))
        _note(f"written to {out}")
    _show_solved(problem, layout, as_json)
    if interrupts.pressed():
        _note("interrupted: this is what the search had by then")
        return INTERRUPTED
    return {OPTIMAL: DONE, FEASIBLE: DONE, INFEASIBLE: NO}.get(layout.status, NOTHING_FOUND)


def _show_solved(problem: Problem, layout: Layout, as_json: bool) -> None:
    from allocator.layout import FEASIBLE, OPTIMAL
    from allocator.showing.page import whole, without
    from allocator.showing.text import show

    if as_json:
        sys.stdout.write(layout.to_json())
    elif layout.status in (OPTIMAL, FEASIBLE):
        show(whole(problem, layout), sys.stdout)
    else:
        show(without(problem, layout), sys.stdout)


def _check(path: Path, layout_path: Path, as_json: bool) -> int:
    from allocator.checking import check as check_layout
    from allocator.reading import read_problem
    from allocator.showing import violations
    from allocator.showing.text import show

    problem = read_problem(path)
    layout = _read_layout(layout_path)
    if layout.problem_sha256 and layout.problem_sha256 != problem.digest:
        _note("warning: the layout was made for another state of the problem; it is held against this one")
    report = check_layout(problem, layout)
    if as_json:
        sys.stdout.write(violations.as_json(problem, report))
    else:
        show(violations.checked(problem, report), sys.stdout)
    return DONE if report.clean else NO


def _read_layout(path: Path) -> Layout:
    """Read a layout file; its mistakes carry the name of the file."""
    from allocator.layout import Layout, LayoutError

    try:
        return Layout.from_json(path.read_text(encoding="utf-8-sig"))
    except LayoutError as error:
        raise LayoutError(f"{path}: {error}") from None
    except UnicodeDecodeError:
        raise LayoutError(f"{path}: not UTF-8 text. Give a layout.json file.") from None


class Interrupts:
    """Remembers whether Ctrl-C was pressed, whoever handles it.

    While the solver runs it has a handler of its own, which asks it to stop with the best so far; the pipe is
    told of every signal whatever the handler does.
    """

    def __init__(self) -> None:
        self._pressed = False

    def __enter__(self) -> Self:
        self._pipe = os.pipe()
        for end in self._pipe:
            os.set_blocking(end, False)
        self._before = signal.set_wakeup_fd(self._pipe[1], warn_on_full_buffer=False)
        return self

    def __exit__(self, *_: object) -> None:
        signal.set_wakeup_fd(self._before)
        with suppress(BlockingIOError):
            self._pressed = signal.SIGINT in os.read(self._pipe[0], 4096)
        for end in self._pipe:
            os.close(end)

    def pressed(self) -> bool:
        """Whether it was, between entering and leaving."""
        return self._pressed


def _end(action: Callable[[], int]) -> NoReturn:
    """Run a command; turn what may go wrong into text on standard error and an exit code."""
    from allocator.layout import LayoutError
    from allocator.problem import ProblemError

    try:
        code = action()
        sys.stdout.flush()
    except (ProblemError, LayoutError) as error:
        _note(str(error))
        code = WRONG_INPUT
    except BrokenPipeError:
        # the reader has seen enough; nothing more can be written, at interpreter exit either
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        code = PIPE_CLOSED
    except OSError as error:
        what = f"{error.filename or 'file'}: {error.strerror or error}"
        _note(f"{what}. Give a path that can be read or written.")
        code = WRONG_INPUT
    except KeyboardInterrupt:
        _note("interrupted before anything was found")
        code = INTERRUPTED
    raise typer.Exit(code)


def _note(text: str) -> None:
    from allocator.showing.text import printable

    print(printable(text).plain, file=sys.stderr)


def main() -> None:
    """Entry point of the command."""
    app()
