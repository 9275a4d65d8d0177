"""The command ``allocator``, also as ``python -m allocator``: it listens before anything slow is imported."""

from __future__ import annotations

import sys

from allocator.commands.interrupts import ignore, listen


def main() -> None:
    """Entry point of the command."""
    try:
        try:
            listen()
            from allocator.cli import app

            app()
        finally:
            ignore()
    except KeyboardInterrupt:
        # while it was starting or ending: a command under way answers by itself
        sys.exit(130)


if __name__ == "__main__":
    main()
