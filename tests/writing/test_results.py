from __future__ import annotations

import json
import os
import shutil
from pathlib import Path

import pytest

import allocator.writing.results
from allocator.writing.aside import aside_folder, clear
from allocator.writing.manifest import Manifest
from allocator.writing.moving import heal_for_reading
from allocator.writing.refusal import OutputError
from allocator.writing.results import ensure_result, write_result
from tests.faults.states import left_behind, tree, whole

OLD = {"layout.json": "old\n", "stale.csv": "old"}
NEW = {"layout.json": "new ä\n", "lists.xlsx": b"\x00\xff"}


def write(folder: Path, contents=OLD, command="solve") -> None:
    write_result(folder, contents, command=command, version="1", problem="boat", problem_sha256="ab")


@pytest.fixture(params=["swapped", "moved in"])
def way(request, monkeypatch):
    """Both ways to replace a result: folders change places, or files are moved in one by one."""
    if request.param == "moved in":

        def refused(_one, other):
            raise OSError(38, "Function not implemented", str(other))

        monkeypatch.setattr(allocator.writing.results, "exchange", refused)
    return request.param


def test_a_result_is_its_files_and_a_manifest_with_their_hashes(tmp_path):
    write(tmp_path / "deep" / "out", NEW)
    out = tmp_path / "deep" / "out"
    assert (out / "layout.json").read_bytes() == "new ä\n".encode()
    assert (out / "lists.xlsx").read_bytes() == b"\x00\xff"
    manifest = whole(out, {})
    assert (manifest.command, manifest.version, manifest.problem, manifest.problem_sha256) == (
        "solve", "1", "boat", "ab",
    )  # fmt: skip
    assert tree(tmp_path).keys() == {"deep", "deep/out", *(f"deep/out/{name}" for name in (*NEW, "manifest.json"))}


@pytest.mark.usefixtures("way")
def test_stale_files_of_an_earlier_result_are_gone_and_the_users_stay(tmp_path):
    write(tmp_path)
    (tmp_path / "notes.txt").write_text("mine")
    (tmp_path / "link").symlink_to("nowhere")
    theirs = {"link": "-> nowhere", "notes.txt": tree(tmp_path)["notes.txt"]}
    write(tmp_path, NEW)
    assert whole(tmp_path, theirs).files.keys() == NEW.keys()
    assert left_behind(tmp_path.parent) == []


def test_a_folder_of_the_users_stays_the_folder_that_it_is(tmp_path):
    write(tmp_path / "out")
    (tmp_path / "out" / "photos").mkdir()
    (tmp_path / "out" / "photos" / "a").write_text("mine")
    before = (tmp_path / "out" / "photos").stat().st_ino
    write(tmp_path / "out", NEW)
    assert (tmp_path / "out" / "photos").stat().st_ino == before
    assert whole(tmp_path / "out", {"photos": "/", "photos/a": tree(tmp_path)["out/photos/a"]})


def test_the_folder_that_the_shell_is_in_stays_the_folder_that_it_is(tmp_path, monkeypatch):
    write(tmp_path)
    monkeypatch.chdir(tmp_path)
    write(Path(), NEW)
    assert Path.cwd() == tmp_path
    assert sorted(path.name for path in Path().iterdir()) == ["layout.json", "lists.xlsx", "manifest.json"]


def test_the_rights_of_the_folder_stay(tmp_path):
    write(tmp_path / "out")
    (tmp_path / "out").chmod(0o750)
    write(tmp_path / "out", NEW)
    assert (tmp_path / "out").stat().st_mode & 0o777 == 0o750


def test_a_link_to_a_folder_is_followed_and_stays(tmp_path):
    write(tmp_path / "real")
    (tmp_path / "out").symlink_to("real")
    write(tmp_path / "out", NEW)
    assert (tmp_path / "out").is_symlink()
    assert whole(tmp_path / "real", {}).files.keys() == NEW.keys()


@pytest.mark.usefixtures("way")
def test_files_that_allocator_did_not_write_are_refused_by_name_and_stay(tmp_path):
    for name in ("layout.json", "lists.xlsx"):
        (tmp_path / name).write_text("mine")
    before = tree(tmp_path)
    for act in (lambda: ensure_result(tmp_path, NEW), lambda: write(tmp_path, NEW)):
        with pytest.raises(OutputError) as refused:
            act()
        assert str(refused.value) == (
            f"{tmp_path}: 'layout.json' was not written by allocator, 'lists.xlsx' was not written by allocator. "
            "Nothing was overwritten. Give another folder, or move them elsewhere first."
        )
        assert tree(tmp_path) == before


@pytest.mark.usefixtures("way")
@pytest.mark.parametrize("name", list(OLD))
def test_a_file_that_was_edited_since_is_refused_by_name_and_stays(tmp_path, name):
    write(tmp_path)
    (tmp_path / name).write_text("edited")
    before = tree(tmp_path)
    for act in (lambda: ensure_result(tmp_path, NEW), lambda: write(tmp_path, NEW)):
        with pytest.raises(OutputError, match=f"'{name}' was changed since allocator wrote it"):
            act()
        assert tree(tmp_path) == before


@pytest.mark.usefixtures("way")
def test_a_file_that_was_removed_since_is_no_hindrance(tmp_path):
    write(tmp_path)
    (tmp_path / "stale.csv").unlink()
    write(tmp_path, NEW)
    assert whole(tmp_path, {}).files.keys() == NEW.keys()


@pytest.mark.parametrize(
    "text",
    [
        "mine", "[]", "{}", '{"format": "allocator-manifest/1"}', "[" * 100_000,
        json.dumps({"format": "allocator-manifest/1", "command": "solve", "allocator": "1",
                    "problem": {"name": "", "sha256": ""}, "files": {"../mine": "0"}}),
    ],
    ids=["text", "list", "empty", "format alone", "deep", "outside"],
)  # fmt: skip
def test_a_manifest_that_allocator_did_not_write_is_refused(tmp_path, text):
    (tmp_path / "mine").write_text("mine")
    out = tmp_path / "out"
    out.mkdir()
    (out / "manifest.json").write_text(text)
    with pytest.raises(OutputError, match=r"'manifest\.json' was not written by allocator, or was changed"):
        write(out, NEW)
    assert (tmp_path / "mine").read_text() == "mine"


def test_what_is_edited_while_the_folders_change_places_is_not_lost(tmp_path, monkeypatch):
    write(tmp_path / "out")
    exchange, times = allocator.writing.results.exchange, []

    def edited_just_before(one, other):
        if not times:
            (tmp_path / "out" / "layout.json").write_text("edited")
            (tmp_path / "out" / "notes.txt").write_text("made")
        times.append(one)
        exchange(one, other)

    monkeypatch.setattr(allocator.writing.results, "exchange", edited_just_before)
    with pytest.raises(OutputError, match=r"'layout\.json' was changed since allocator wrote it"):
        write(tmp_path / "out", NEW)
    assert len(times) == 2  # there, and back
    assert (tmp_path / "out" / "layout.json").read_text() == "edited"
    assert (tmp_path / "out" / "notes.txt").read_text() == "made"
    assert left_behind(tmp_path) == []


def test_what_is_made_while_the_folders_change_places_is_there_with_the_new_result(tmp_path, monkeypatch):
    write(tmp_path / "out")
    exchange, times = allocator.writing.results.exchange, []

    def made_just_before(one, other):
        if not times:
            (tmp_path / "out" / "notes.txt").write_text("made")
        times.append(one)
        exchange(one, other)

    monkeypatch.setattr(allocator.writing.results, "exchange", made_just_before)
    write(tmp_path / "out", NEW)
    assert whole(tmp_path / "out", {"notes.txt": tree(tmp_path)["out/notes.txt"]}).files.keys() == NEW.keys()
    assert left_behind(tmp_path) == []


@pytest.mark.parametrize("killed", ["part", "swap"])
def test_what_a_killed_run_left_is_cleared_by_the_next(tmp_path, killed):
    write(tmp_path / "out")
    left = tmp_path / f".allocator-0123456789abcdef.{killed}"
    shutil.copytree(tmp_path / "out", left)
    write(tmp_path / "out", NEW)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["out"]


def test_of_a_folder_that_was_swapped_out_what_lies_nowhere_else_is_kept(tmp_path):
    left = tmp_path / ".allocator-0123456789abcdef.swap"
    write(left)
    (left / "notes.txt").write_text("mine")
    clear(tmp_path)
    assert (left / "notes.txt").read_text() == "mine"


def test_what_a_live_run_works_on_is_not_cleared(tmp_path):
    with aside_folder(tmp_path) as aside:
        (aside.path / "a").write_text("half")
        ensure_result(tmp_path / "out", NEW)
        write(tmp_path / "out", NEW)
        assert (aside.path / "a").read_text() == "half"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["out"]


def test_where_there_are_no_locks_what_is_a_day_old_is_cleared(tmp_path, monkeypatch):
    monkeypatch.setattr("allocator.writing.lock.Lock.take", lambda _: None)
    young, old = (tmp_path / f".allocator-{letter * 16}.part" for letter in "ab")
    for path in (young, old):
        path.mkdir()
    os.utime(old, (0, 0))
    clear(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == [young.name]


def test_reading_finishes_what_a_killed_run_began_to_move_in(tmp_path):
    write(tmp_path)
    ready = tmp_path / ".allocator-0123456789abcdef.ready"
    write(ready, NEW, "revise")
    (ready / "layout.json").replace(tmp_path / "layout.json")
    heal_for_reading(tmp_path)
    assert whole(tmp_path, {}).command == "revise"
    assert left_behind(tmp_path) == []


def test_what_the_user_edited_meanwhile_is_not_written_over_by_what_a_killed_run_began(tmp_path):
    write(tmp_path)
    write(tmp_path / ".allocator-0123456789abcdef.ready", NEW)
    (tmp_path / "layout.json").write_text("edited")
    heal_for_reading(tmp_path)
    with pytest.raises(OutputError, match=r"'layout\.json' was made or changed while a result was moved in"):
        ensure_result(tmp_path, NEW)
    assert (tmp_path / "layout.json").read_text() == "edited"


def test_a_link_to_nothing_and_a_file_in_the_way_are_refused(tmp_path):
    (tmp_path / "link").symlink_to("nowhere")
    (tmp_path / "loop").symlink_to("loop")
    (tmp_path / "file").write_text("")
    for name in ("link", "loop"):
        with pytest.raises(OutputError, match="is a broken link"):
            ensure_result(tmp_path / name, NEW)
    for name in ("file", "file/deeper"):
        with pytest.raises(NotADirectoryError):
            ensure_result(tmp_path / name, NEW)
    with pytest.raises(OSError, match="too long"):
        ensure_result(tmp_path / ("x" * 300), NEW)


def test_an_error_of_the_system_names_the_folder_that_was_asked_for(tmp_path, monkeypatch):
    def full(_path, _data):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(allocator.writing.results, "write_file", full)
    for out in (tmp_path / "new", tmp_path):
        with pytest.raises(OSError, match="No space left") as failed:
            write(out, NEW)
        assert failed.value.filename == str(out)
    assert tree(tmp_path) == {}


def test_looking_whether_it_can_be_written_leaves_nothing(tmp_path):
    ensure_result(tmp_path / "deep" / "out", NEW)
    assert tree(tmp_path) == {}


def test_a_manifest_reads_back(tmp_path):
    write(tmp_path)
    manifest = Manifest.read(tmp_path)
    assert manifest is not None
    assert manifest.to_json() == (tmp_path / "manifest.json").read_text()
