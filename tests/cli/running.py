"""Run the command in this process, as the shell would."""

from __future__ import annotations

import sys
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from io import StringIO
from unittest.mock import patch

from allocator.cli import app


@dataclass(frozen=True)
class Result:
    code: int
    out: str
    err: str


def allocator(*arguments: object) -> Result:
    out, err = StringIO(), StringIO()
    with (
        patch.object(sys, "argv", ["allocator", *map(str, arguments)]),
        redirect_stdout(out),
        redirect_stderr(err),
    ):
        try:
            app()
        except SystemExit as end:
            return Result(int(end.code or 0), out.getvalue(), err.getvalue())
    raise AssertionError("the command came back without an exit code")
