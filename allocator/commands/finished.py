"""A finished search, which is never lost: whatever fails after it, its result is printed and saved."""

from __future__ import annotations

import sys
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from types import TracebackType
from typing import Self

from allocator.commands.ending import note

ATTEMPTS = 5
"""So many interrupts are borne with while it is being saved."""


class Finished:
    """While files and text are made of a result. On a failure it is printed and saved, and the failure goes on.

    Parameters
    ----------
    name
        What the file is called in which it is saved.
    text
        Gives what is saved.
    show
        Prints the result.
    near
        Where it was to be written.
    """

    def __init__(self, name: str, text: Callable[[], str], show: Callable[[], None], near: Path | None = None) -> None:
        self._name, self._text, self._show, self._near = name, text, show, near
        self._shown = False
        self.written = False
        """Whether the result stands where it was to be written."""

    def show(self) -> None:
        """Print the result."""
        self._shown = True
        self._show()
        sys.stdout.flush()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, _: TracebackType | None) -> None:
        # a reader that closed its pipe has what it wanted
        if error is None or isinstance(error, BrokenPipeError):
            return
        for _attempt in range(ATTEMPTS):
            with suppress(KeyboardInterrupt):
                self._rescue()
                break
        if kind is KeyboardInterrupt:
            raise KeyboardInterrupt("interrupted after the search, while its result was written") from None

    def _rescue(self) -> None:
        if not self.written:
            self._save()
        if not self._shown:
            with suppress(Exception):
                self.show()

    def _save(self) -> None:
        from allocator.writing.somewhere import save_somewhere

        text = self._text()
        path = save_somewhere(f"allocator-{self._name}", ".json", text, self._near)
        self.written = True
        with suppress(Exception):
            if path is None:
                note(
                    f"the {self._name} was found, but could not be saved to any folder. It follows on standard output:"
                )
                sys.stdout.write(text)
                sys.stdout.flush()
            else:
                note(f"the {self._name} that was found is saved to {path}")
