"""Pictures that carry a seal: it tells that ``allocator`` made them, and that nobody has edited them since."""

from __future__ import annotations

import errno
import os
import re
import zlib
from hashlib import sha256
from pathlib import Path

from allocator.writing.aside import aside_file
from allocator.writing.durable import append, sync
from allocator.writing.new import named
from allocator.writing.refusal import OutputError, asked_for

_PNG, _KEY, _END = b"\x89PNG\r\n\x1a\n", b"tEXtallocator\0", 12
_COMMENT = re.compile(rb"<!-- allocator [0-9a-f]{64} -->\n\Z")
_CHUNK = 4 + len(_KEY) + 64 + 4  # length, type and key, hash, checksum


def sealed(data: bytes) -> bytes:
    """A PNG or SVG with its SHA-256 put into it: a text chunk before the last one, or a comment at the end."""
    digest = sha256(data).hexdigest().encode()
    if not data.startswith(_PNG):
        return data + b"<!-- allocator " + digest + b" -->\n"
    body = _KEY + digest
    chunk = (len(body) - 4).to_bytes(4, "big") + body + zlib.crc32(body).to_bytes(4, "big")
    return data[:-_END] + chunk + data[-_END:]


def is_sealed(data: bytes) -> bool:
    """Whether it has such a seal, and is as it was sealed."""
    bare = data[: -_END - _CHUNK] + data[-_END:] if data.startswith(_PNG) else _COMMENT.sub(b"", data)
    return sealed(bare) == data


def ensure_sealable(path: Path) -> None:
    """Find out before a long search, not after it, whether a picture can be written.

    Raises
    ------
    OutputError
        When there is a file that ``allocator`` did not make, or that was edited since.
    OSError
        When nothing can be written there.
    """
    place = Path(os.path.realpath(path))
    if not place.parent.is_dir():
        raise FileNotFoundError(errno.ENOENT, "No such folder", str(place.parent))
    _ensure_own(path, place)
    with asked_for(path), aside_file(place.parent):
        pass


def write_sealed(path: Path, data: bytes) -> None:
    """Write a picture, whole or not at all, in place of an earlier one.

    Raises
    ------
    OutputError
        When there is a file that ``allocator`` did not make, or that was edited since.
    OSError
        When it cannot be written.
    """
    place = Path(os.path.realpath(path))
    with asked_for(path), aside_file(place.parent) as aside:
        append(aside.path, sealed(data))
        _ensure_own(path, place)
        if place.exists():
            aside.path.replace(place)
        else:
            named(aside.path, place)
        sync(place.parent)


def _ensure_own(path: Path, place: Path) -> None:
    if path.is_symlink() and not place.exists():
        raise OutputError(f"{path}: is a broken link. Give the name of a picture file to make.")
    if place.is_dir():
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR), str(path))
    if place.exists() and not (place.is_file() and is_sealed(place.read_bytes())):
        raise OutputError(
            f"{path}: was not drawn by allocator, or was changed since. Nothing was overwritten. "
            "Give another file name, or move it elsewhere first."
        )
