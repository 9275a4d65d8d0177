"""Files that a user names are opened so that nothing hangs and nothing fills the memory."""

from __future__ import annotations

import os
import threading
from pathlib import Path

import pytest

from allocator.reading import opening
from allocator.reading.opening import read_file

needs_pipes = pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes on this system")


def refused(path: Path | str) -> str:
    with pytest.raises(OSError) as refusal:
        read_file(path)
    return str(refusal.value.strerror)


def test_a_file_is_read_whole(tmp_path):
    (tmp_path / "file").write_bytes(b"x" * 3_000_000)
    assert read_file(tmp_path / "file") == b"x" * 3_000_000
    (tmp_path / "empty").write_bytes(b"")
    assert read_file(tmp_path / "empty") == b""


def test_a_folder_is_no_file(tmp_path):
    assert refused(tmp_path) == "it is a folder, not a file"


def test_a_file_is_as_large_as_the_bound_and_no_larger(tmp_path, monkeypatch):
    monkeypatch.setattr(opening, "MOST_BYTES", 2 << 20)
    (tmp_path / "file").write_bytes(b"x" * (2 << 20))
    assert len(read_file(tmp_path / "file")) == 2 << 20
    (tmp_path / "file").write_bytes(b"x" * ((2 << 20) + 1))
    assert refused(tmp_path / "file") == "it is larger than 2 MB, the most that is read"


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="no devices on this system")
def test_a_device_is_no_file():
    assert refused("/dev/zero") == "it is a device, not a file"


@needs_pipes
def test_a_pipe_without_a_writer_is_not_waited_for(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    assert refused(tmp_path / "pipe") == "it is a pipe that nothing writes to"


@needs_pipes
def test_a_pipe_is_read_to_its_end():
    reading, writing = os.pipe()

    def write() -> None:
        with os.fdopen(writing, "wb") as stream:
            stream.write(b"y" * 200_000)

    writer = threading.Thread(target=write)
    writer.start()
    try:
        assert read_file(f"/dev/fd/{reading}") == b"y" * 200_000
    finally:
        writer.join()
        os.close(reading)


@needs_pipes
def test_a_pipe_that_keeps_silent_is_given_up(monkeypatch):
    monkeypatch.setattr(opening, "WAIT_S", 0.05)
    reading, writing = os.pipe()
    try:
        assert refused(f"/dev/fd/{reading}") == "it is a pipe that gave nothing for 0.05 s"
    finally:
        os.close(reading)
        os.close(writing)
