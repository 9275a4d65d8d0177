"""What a terminal, a pipe or a file system may do to a command: each ends in a sentence or the right exit code."""

from __future__ import annotations

import io
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from contextlib import redirect_stderr, redirect_stdout
from functools import partial
from pathlib import Path
from unittest.mock import patch

import pytest

from allocator.cli import main
from allocator.reading.opening import name_of
from tests.cli.running import allocator

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="the streams of a Unix shell")

NAME = "Müßiggang → 漢字 🚐"
ASCII = {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
"""With this even names of files are taken for ASCII, which only a process of its own does from its start."""


def ran(*arguments: object, shell: str = "", **env: str) -> subprocess.CompletedProcess[bytes]:
    """The command in a process of its own; ``shell`` is put behind it. It hangs on nothing, or the test fails."""
    words = [sys.executable, "-m", "allocator", *arguments]
    line = [os.fsencode(word if isinstance(word, bytes) else str(word)) for word in words]
    script = [b"sh", b"-c", b'exec "$@" ' + shell.encode(), b"sh", *line]
    return subprocess.run(script, capture_output=True, timeout=120, env={**os.environ, **env})


def written(encoding: str, *arguments: object) -> subprocess.CompletedProcess[bytes]:
    """The command in this process, on streams of an encoding."""
    out, err = (io.TextIOWrapper(io.BytesIO(), encoding=encoding) for _ in range(2))
    words = ["allocator", *(os.fsdecode(word) if isinstance(word, bytes) else str(word) for word in arguments)]
    with patch.object(sys, "argv", words), redirect_stdout(out), redirect_stderr(err), pytest.raises(SystemExit) as end:
        main()
    texts = []
    for stream in (out, err):
        stream.flush()
        texts.append(stream.buffer.getvalue())  # type: ignore[attr-defined]
    return subprocess.CompletedProcess(words, int(end.value.code or 0), *texts)


Run = Callable[..., subprocess.CompletedProcess[bytes]]
ENCODINGS = [
    pytest.param(partial(written, "ascii"), "ascii", id="ascii"),
    pytest.param(partial(written, "cp1252"), "cp1252", id="cp1252"),
    pytest.param(lambda *arguments: ran(*arguments, **ASCII), "ascii", id="C-0-0"),
]


@pytest.fixture(scope="module")
def solved(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A problem with letters that few encodings hold, and a layout of it."""
    home = tmp_path_factory.mktemp("streams")
    folder, layout = home / "Käfer λ", home / "layout λ.json"
    assert allocator("new", folder).code == 0
    settings = folder / "problem.toml"
    text = settings.read_text(encoding="utf-8")
    settings.write_text(text.replace('name = "Mobile bicycle workshop"', f'name = "{NAME}"'), encoding="utf-8")
    layout.write_text(allocator("solve", folder, "--json").out, encoding="utf-8")
    return folder, layout


@pytest.mark.parametrize(("run", "encoding"), ENCODINGS)
def test_letters_that_an_encoding_lacks_are_escaped(solved, run: Run, encoding: str):
    folder, layout = solved
    shown = run("check", folder, layout)
    assert (shown.returncode, shown.stderr) == (0, b"")
    assert b"\\u6f22\\u5b57 \\ud83d\\ude90" in shown.stdout
    missing = run("check", folder, folder / "→.json")
    assert missing.returncode == 2
    # where the file system is taken for ASCII, the name is bytes that no letter is known for
    assert any(name + b".json: No such file or directory." in missing.stderr for name in (b"\\u2192", b"/???"))
    report = run("report", folder, layout, "--json")
    assert report.returncode == 0
    read = json.loads(report.stdout.decode(encoding))
    assert NAME in json.dumps(read, ensure_ascii=False)


@pytest.mark.skipif(sys.platform == "darwin", reason="a file system that takes names in UTF-8 only")
def test_a_path_that_is_not_utf8_is_a_path_like_any_other(solved, tmp_path):
    folder, layout = solved
    odd = os.fsencode(tmp_path) + b"/b\xff\xfe"
    shutil.copytree(os.fsencode(folder), odd)
    settings = Path(os.fsdecode(odd)) / "problem.toml"
    settings.write_text(settings.read_text(encoding="utf-8").replace(f'name = "{NAME}"', ""), encoding="utf-8")
    for out in (b"-out", b"-out\xfd"):
        assert written("utf-8", "report", odd, layout, "--out", odd + out).returncode == 0
    assert ran("check", odd, layout, "--json").returncode == 0
    assert ran("check", odd, odd + b"/none").returncode == 2
    assert written("utf-8", "import", odd + b"/loads.csv", odd + b"/new\xfd").returncode == 0
    assert ran("demand", odd, PYTHONIOENCODING="ascii").returncode == 0
    assert name_of(Path(os.fsdecode(odd))) == "b\ufffd\ufffd"


@pytest.mark.parametrize("shell", [">&-", "2>&-", ">&- 2>&-", "<&- >&- 2>&-"])
def test_closed_streams_change_no_exit_code(solved, shell):
    folder, layout = solved
    assert ran("check", folder, layout, shell=shell).returncode == 0
    assert ran("check", folder / "none", layout, shell=shell).returncode == 2
    assert ran("--help", shell=shell).returncode == 0


def test_a_closed_stream_is_not_mistaken_for_a_file(solved, tmp_path):
    folder, layout = solved
    assert ran("report", folder, layout, "--out", tmp_path / "out", shell="<&- >&- 2>&-").returncode == 0
    assert allocator("report", folder, layout, "--out", tmp_path / "other").code == 0
    names = sorted(path.name for path in (tmp_path / "other").glob("*.csv"))
    assert names
    for name in names:
        assert (tmp_path / "out" / name).read_bytes() == (tmp_path / "other" / name).read_bytes()


@pytest.mark.parametrize("arguments", [["--help"], ["solve", "--help"]])
def test_help_for_a_reader_that_has_gone_ends_like_any_pipe(arguments):
    reading, writing = os.pipe()
    os.close(reading)
    with os.fdopen(writing, "wb") as pipe:
        done = subprocess.run([sys.executable, "-m", "allocator", *arguments], stdout=pipe, stderr=subprocess.PIPE)
    assert (done.returncode, done.stderr) == (141, b"")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is full")
def test_an_output_that_is_full_is_told_of(solved):
    for arguments in (("--help",), ("check", *solved), ("check", *solved, "--json")):
        done = ran(*arguments, shell="> /dev/full")
        assert done.returncode == 2
        assert b"No space left on device. Give " in done.stderr
        assert b"Traceback" not in done.stderr
        assert b"Exception ignored" not in done.stderr


@pytest.fixture(params=["folder", "device", "pipe"])
def no_file(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """What is there and is no file."""
    if request.param == "device":
        return Path("/dev/zero")
    path = tmp_path / "no file.xlsx"
    path.mkdir() if request.param == "folder" else os.mkfifo(path)
    return path


def test_what_is_no_file_is_refused_by_every_command(solved, no_file, tmp_path):
    folder, layout = solved
    new = tmp_path / "new"
    for arguments in (
        ("check", folder, no_file), ("check", no_file, layout), ("compare", folder, layout, no_file),
        ("report", folder, no_file, "--json"), ("solve", no_file), ("solve", folder, "--start", no_file),
        ("explain", folder, "--start", no_file), ("revise", folder, no_file), ("tradeoff", no_file),
        ("demand", no_file), ("import", no_file, new), ("new", new, "--from", no_file),
    ):  # fmt: skip
        result = allocator(*arguments)
        assert result.code == 2, arguments
        assert len(result.err.splitlines()) <= 4, arguments
        assert not new.exists()


@pytest.mark.parametrize("name", ["problem.toml", "loads.csv", "places.csv", "segments.csv", "wires.csv", "own.csv"])
def test_what_is_no_file_is_refused_in_a_folder(solved, no_file, name, tmp_path):
    folder = tmp_path / "folder"
    shutil.copytree(solved[0], folder)
    settings = folder / "problem.toml"
    settings.write_text(settings.read_text(encoding="utf-8").replace("[wire]\n", '[wire]\nfile = "own.csv"\n'), "utf-8")
    (folder / name).unlink(missing_ok=True)
    (folder / name).symlink_to(no_file)
    result = allocator("check", folder, solved[1])
    assert result.code == 2
    assert f"{name}: " in result.err
