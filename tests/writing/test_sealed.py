from __future__ import annotations

import struct
import zlib
from io import BytesIO

import pytest
from matplotlib.figure import Figure
from matplotlib.image import imread

from allocator.writing.refusal import OutputError
from allocator.writing.sealed import ensure_sealable, is_sealed, sealed, write_sealed

SVG = b"<?xml version='1.0'?><svg/>\n"


def png() -> bytes:
    stream = BytesIO()
    Figure(figsize=(1.0, 1.0)).savefig(stream, format="png")
    return stream.getvalue()


@pytest.mark.parametrize("data", [SVG, png()], ids=["svg", "png"])
def test_a_seal_is_broken_by_any_change(data):
    assert not is_sealed(data)
    whole = sealed(data)
    assert is_sealed(whole)
    for at in (0, len(data) // 2, len(whole) - 20):
        assert not is_sealed(whole[:at] + bytes([whole[at] ^ 1]) + whole[at + 1 :])


def test_a_sealed_png_is_a_png_chunk_by_chunk():
    data, at, names = sealed(png()), 8, []
    while at < len(data):
        (length,) = struct.unpack(">I", data[at : at + 4])
        body = data[at + 4 : at + 8 + length]
        assert struct.unpack(">I", data[at + 8 + length : at + 12 + length]) == (zlib.crc32(body),)
        names.append(body[:4])
        at += 12 + length
    assert names[0] == b"IHDR"
    assert names[-2:] == [b"tEXt", b"IEND"]
    assert (imread(BytesIO(data)) == imread(BytesIO(png()))).all()


def test_a_picture_is_replaced_and_a_foreign_or_edited_one_is_refused(tmp_path):
    path = tmp_path / "plan.svg"
    write_sealed(path, SVG)
    write_sealed(path, SVG * 2)
    path.write_bytes(path.read_bytes() + b"<!-- mine -->")
    for act in (lambda: ensure_sealable(path), lambda: write_sealed(path, SVG)):
        with pytest.raises(OutputError, match="was not drawn by allocator, or was changed since"):
            act()
    assert path.read_bytes().endswith(b"<!-- mine -->")
    assert [one.name for one in tmp_path.iterdir()] == ["plan.svg"]


def test_a_link_to_a_picture_is_followed_and_one_to_nothing_is_refused(tmp_path):
    write_sealed(tmp_path / "real.svg", SVG)
    (tmp_path / "link.svg").symlink_to("real.svg")
    write_sealed(tmp_path / "link.svg", SVG * 2)
    assert (tmp_path / "link.svg").is_symlink()
    assert is_sealed((tmp_path / "real.svg").read_bytes())
    (tmp_path / "nothing.svg").symlink_to("nowhere/plan.svg")
    with pytest.raises((OutputError, FileNotFoundError)):
        ensure_sealable(tmp_path / "nothing.svg")
    (tmp_path / "dangling.svg").symlink_to("nothing-there.svg")
    with pytest.raises(OutputError, match="is a broken link"):
        ensure_sealable(tmp_path / "dangling.svg")
