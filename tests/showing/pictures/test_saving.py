from __future__ import annotations

from xml.etree import ElementTree

import pytest
from matplotlib.figure import Figure

from allocator.showing.pictures import saving
from allocator.showing.pictures.of_layout import save_loading, save_plan
from tests.showing.samples import LAYOUT, PROBLEM

G = f"{{{saving.SVG}}}g"


def figure():
    found = Figure(figsize=(2.0, 1.0))
    axes = found.add_subplot()
    axes.plot([0.0, 1.0], [0.0, 1.0], gid="line")
    axes.set_title("a < b & c")
    return found


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
        saving.write(figure(), tmp_path / "a.png")
    assert [path.name for path in tmp_path.iterdir()] == ["a.png"]


def test_named_parts_get_their_attributes_and_all_else_is_hidden_from_screen_readers():
    tree = ElementTree.fromstring(saving.svg(figure(), "s", {"line": {"role": "button"}}, role="group", aria_label="p"))
    assert (tree.get("role"), tree.get("aria-label")) == ("group", "p")
    (line,) = [group for group in tree.iter(G) if group.get("id") == "s-line"]
    assert line.get("role") == "button"
    hidden = [group for group in tree.iter(G) if group.get("aria-hidden") == "true"]
    assert hidden
    assert not any(part.get("id") == "s-line" for group in hidden for part in group.iter())


def test_two_drawings_of_a_page_share_no_id():
    ids = []
    for salt in ("a", "b"):
        tree = ElementTree.fromstring(saving.svg(figure(), salt, {}))
        ids += [part.get("id") for part in tree.iter() if part.get("id")]
    assert len(ids) == len(set(ids))


def test_every_mention_of_an_id_has_one():
    text = saving.svg(figure(), "a", {})
    tree = ElementTree.fromstring(text)
    ids = {part.get("id") for part in tree.iter()}
    links = [part.get(f"{{{saving.XLINK}}}href") for part in tree.iter()]
    assert {link[1:] for link in links if link} <= ids
    assert "a &lt; b &amp; c" in text
