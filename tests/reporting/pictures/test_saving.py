from __future__ import annotations

import pytest

from allocator.reporting.pictures import saving
from allocator.reporting.pictures.drawing import Drawing
from allocator.reporting.pictures.of_layout import save_loading, save_plan
from tests.reporting.samples import LAYOUT, PROBLEM


@pytest.mark.parametrize("save", [save_plan, save_loading])
@pytest.mark.parametrize(("ending", "begins"), [("png", b"\x89PNG"), ("svg", b"<?xml"), ("SVG", b"<?xml")])
def test_a_picture_is_of_the_kind_that_its_name_says(tmp_path, save, ending, begins):
    save(PROBLEM, LAYOUT, tmp_path / f"a.{ending}")
    assert (tmp_path / f"a.{ending}").read_bytes().startswith(begins)
    assert [path.name for path in tmp_path.iterdir()] == [f"a.{ending}"]


def test_the_same_layout_gives_the_same_picture(tmp_path):
    for name in ("a.svg", "b.svg"):
        save_plan(PROBLEM, LAYOUT, tmp_path / name)
    assert (tmp_path / "a.svg").read_bytes() == (tmp_path / "b.svg").read_bytes()


def test_a_picture_that_cannot_be_written_leaves_nothing(tmp_path):
    (tmp_path / "a.png").mkdir()
    with pytest.raises(OSError):
        saving.write(Drawing(144.0, 72.0), tmp_path / "a.png")
    assert [path.name for path in tmp_path.iterdir()] == ["a.png"]
