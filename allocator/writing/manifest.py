"""What a folder of results says of itself: which files ``allocator`` wrote there, and what was in them."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from hashlib import sha256 as sha256_of
from pathlib import Path
from typing import Self

from allocator.writing.refusal import OutputError, listed

MANIFEST = "manifest.json"
FORMAT = "allocator-manifest/1"
LARGEST = 1_000_000
"""In bytes: a file larger than this is no manifest."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Manifest:
    """The files of a result, each with the SHA-256 of what was written; and by which command, of which problem."""

    command: str
    version: str
    problem: str
    problem_sha256: str
    files: Mapping[str, str]

    def to_json(self) -> str:
        """The text of the file."""
        body = {
            "format": FORMAT,
            "allocator": self.version,
            "command": self.command,
            "problem": {"name": self.problem, "sha256": self.problem_sha256},
            "files": dict(self.files),
        }
        return json.dumps(body, indent=1) + "\n"

    @classmethod
    def read(cls, folder: Path) -> Self | None:
        """That of a folder; None where it has none, or one that ``allocator`` did not write."""
        path = folder / MANIFEST
        try:
            if path.is_symlink() or not path.is_file() or path.stat().st_size > LARGEST:
                return None
            return cls._of(json.loads(path.read_text(encoding="utf-8")))
        except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
            return None

    @classmethod
    def _of(cls, body: dict[str, object]) -> Self | None:
        problem, files = body["problem"], body["files"]
        if body["format"] != FORMAT or not isinstance(problem, dict) or not isinstance(files, dict):
            return None
        words = [body["command"], body["allocator"], problem["name"], problem["sha256"], *files, *files.values()]
        if not all(isinstance(word, str) for word in words) or not all(map(_plain, files)):
            return None
        return cls(
            command=str(body["command"]),
            version=str(body["allocator"]),
            problem=str(problem["name"]),
            problem_sha256=str(problem["sha256"]),
            files=files,
        )


def _plain(name: str) -> bool:
    """Whether it names a file of the folder itself, other than the manifest."""
    return name not in ("", ".", "..", MANIFEST) and not set(name) & set("/\\\0")


def sha256(path: Path) -> str:
    """Of the file's bytes; empty where there is no such file, or something other than a file.

    Raises
    ------
    OSError
        When it cannot be read.
    """
    if path.is_symlink() or not path.is_file():
        return ""
    return sha256_of(path.read_bytes()).hexdigest()


def ensure_ours(folder: Path, names: Iterable[str]) -> None:
    """See that files of these names, and all of an earlier result, are as ``allocator`` wrote them, or absent.

    Raises
    ------
    OutputError
        Names every file that the user made or edited.
    OSError
        When one cannot be read.
    """
    found = list(_theirs(folder, names))
    if found:
        raise OutputError(
            f"{folder}: {listed(found)}. Nothing was overwritten. Give another folder, or move "
            f"{'it' if len(found) == 1 else 'them'} elsewhere first."
        )


def _theirs(folder: Path, names: Iterable[str]) -> Iterator[str]:
    manifest = Manifest.read(folder)
    ours = {} if manifest is None else manifest.files
    for name in dict.fromkeys((*names, *ours)):
        path = folder / name
        if name == MANIFEST or not (path.is_symlink() or path.exists()):
            continue
        if name not in ours:
            yield f"'{name}' was not written by allocator"
        elif sha256(path) != ours[name]:
            yield f"'{name}' was changed since allocator wrote it"
    if manifest is None and ((folder / MANIFEST).is_symlink() or (folder / MANIFEST).exists()):
        yield f"'{MANIFEST}' was not written by allocator, or was changed"
