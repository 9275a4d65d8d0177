"""What a folder of results holds, and whether it is one result, whole."""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path

from allocator.writing.aside import NAME
from allocator.writing.manifest import MANIFEST, Manifest


def tree(folder: Path) -> dict[str, str]:
    """Every file below a folder with its content, links with where they lead; but for what a run left behind."""
    found = {}
    for path in sorted(folder.rglob("*")):
        name = str(path.relative_to(folder))
        if any(map(NAME.fullmatch, path.relative_to(folder).parts)):
            continue
        if path.is_symlink():
            found[name] = f"-> {path.readlink()}"
        else:
            found[name] = "/" if path.is_dir() else sha256(path.read_bytes()).hexdigest()
    return found


def left_behind(folder: Path) -> list[str]:
    """Names below a folder that only a run under way has."""
    return [str(path.relative_to(folder)) for path in folder.rglob(".*") if NAME.fullmatch(path.name)]


def whole(folder: Path, theirs: dict[str, str]) -> Manifest:
    """The manifest of a folder that holds exactly its files, as it says, and those of the user's."""
    manifest = Manifest.read(folder)
    assert manifest is not None, f"{folder} has no manifest: {tree(folder)}"
    found = {name: digest for name, digest in tree(folder).items() if name != MANIFEST}
    assert found == {**manifest.files, **theirs}
    return manifest
