"""Files moved into a folder one by one: what was begun is finished by the next run, whatever stopped it."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from allocator.writing.aside import NAME, READY, Aside
from allocator.writing.durable import sync
from allocator.writing.lock import locked
from allocator.writing.manifest import MANIFEST, Manifest, sha256
from allocator.writing.refusal import OutputError


def move_in(aside: Aside, folder: Path) -> None:
    """Put the complete files of a folder aside, which lies in ``folder``, in place of an earlier result there.

    From the moment that it is renamed to ``.ready`` on, the new result is the one that stands.

    Raises
    ------
    OutputError
        When the user has edited a file meanwhile.
    OSError
    """
    try:
        aside.become(READY)
        sync(folder)
        _finish(folder, aside.path)
    except BaseException:
        # what stopped it may be over: an interrupt is
        if aside.path.name.endswith(READY):
            _finish(folder, aside.path)
        raise


def heal(folder: Path) -> None:
    """Finish what a killed run began to move into a folder; where nothing was begun, nothing happens.

    Raises
    ------
    OutputError
        When the user has edited a file meanwhile, or another run is writing there.
    OSError
    """
    if _ready(folder):
        with locked(folder):
            for path in _ready(folder):
                _finish(folder, path)


def heal_for_reading(folder: Path) -> None:
    """As `heal`, as far as it can be done: each file by itself is whole anyway."""
    with suppress(OSError, OutputError):
        heal(folder)


def _ready(folder: Path) -> list[Path]:
    with suppress(FileNotFoundError, NotADirectoryError):
        return sorted(one for one in folder.iterdir() if NAME.fullmatch(one.name) and one.name.endswith(READY))
    return []


def _finish(folder: Path, ready: Path) -> None:
    """Can be begun again after any of its steps: the manifest, which says what there is to do, is moved last."""
    new = Manifest.read(ready)
    if new is not None:
        before = Manifest.read(folder)
        old: Mapping[str, str] = {} if before is None else before.files
        for name in old:
            if name not in new.files and sha256(folder / name) == old[name]:
                (folder / name).unlink()
        for name in new.files:
            if (ready / name).exists():
                _ensure_old(folder / name, old)
                (ready / name).replace(folder / name)
        _ensure_old(folder / MANIFEST, {} if before is None else {MANIFEST: sha256(folder / MANIFEST)})
        (ready / MANIFEST).replace(folder / MANIFEST)
    sync(folder)
    with suppress(FileNotFoundError):
        ready.rmdir()


def _ensure_old(path: Path, old: Mapping[str, str]) -> None:
    if (path.is_symlink() or path.exists()) and sha256(path) != old.get(path.name):
        raise OutputError(
            f"{path.parent}: '{path.name}' was made or changed while a result was moved in. "
            "Move it elsewhere and run the command again."
        )
