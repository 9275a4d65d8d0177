"""A text saved wherever it can be, when the place that was asked for does not take it."""

from __future__ import annotations

import secrets
import tempfile
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

from allocator.writing.durable import sync, write_file


def save_somewhere(name: str, ending: str, text: str, near: Path | None) -> Path | None:
    """Save a text under a new name: beside ``near``, else in the current folder, else among temporary files.

    Parameters
    ----------
    name, ending
        What the file is called; a random part stands between.
    near
        Where the text was to be saved.

    Returns
    -------
    Path or None
        The file; none where all these folders refuse it.
    """
    data = text.encode("utf-8", "replace")
    for home in _homes(near):
        path = home / f"{name}-{secrets.token_hex(4)}{ending}"
        try:
            write_file(path, data)
            sync(home)
        except OSError:
            with suppress(OSError):
                path.unlink(missing_ok=True)
            continue
        except BaseException:
            with suppress(OSError):
                path.unlink(missing_ok=True)
            raise
        return path
    return None


def _homes(near: Path | None) -> Iterator[Path]:
    if near is not None:
        with suppress(OSError):
            yield next(one for one in near.absolute().parents if one.is_dir())
    with suppress(OSError):
        yield Path.cwd()
    with suppress(OSError):
        yield Path(tempfile.gettempdir())
