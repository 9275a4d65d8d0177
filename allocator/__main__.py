"""The command ``allocator``, also as ``python -m allocator``: it listens before anything slow is imported."""

from __future__ import annotations

import os
import sys

from allocator.aside import left_behind
from allocator.commands.interrupts import INTERRUPTED, ignore, listen


def main() -> None:
    """Entry point of the command."""
    try:
        try:
            listen()
            from allocator.cli import main as run

            run()
        finally:
            ignore()
    except KeyboardInterrupt:
        # while it was starting or ending: a command under way answers by itself
        _end(INTERRUPTED)
    except SystemExit as end:
        _end(end.code)


def _end(code: str | int | None) -> None:
    """End with a code; at once where Python would take seconds to clear up, or would trip over a call left behind."""
    if code == INTERRUPTED or (left_behind() and isinstance(code, int)):
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(code)
    sys.exit(code)


if __name__ == "__main__":
    main()
