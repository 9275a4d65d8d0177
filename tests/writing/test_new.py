from __future__ import annotations

import pytest

from allocator.writing.new import new_file, new_folder


def test_a_folder_that_cannot_be_finished_is_not_there(tmp_path):
    with pytest.raises(OSError):
        new_folder(tmp_path / "made", {"a.txt": "a", "no/such/folder.txt": "b"})
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_cannot_be_finished_is_not_there(tmp_path):
    def half() -> None:
        with new_file(tmp_path / "made.txt") as aside:
            aside.write_text("half")
            raise RuntimeError

    with pytest.raises(RuntimeError):
        half()
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("link", [True, False])
def test_a_file_or_a_link_to_nowhere_stays(tmp_path, link):
    path = tmp_path / "made"
    if link:
        path.symlink_to(tmp_path / "nowhere")
    else:
        path.write_text("mine")
    with pytest.raises(FileExistsError):
        new_folder(path, {"a.txt": "a"})
    assert [entry.name for entry in tmp_path.iterdir()] == ["made"]
