from __future__ import annotations

from xml.etree import ElementTree

from allocator.reporting.pictures.drawing import Disc, Drawing, Line, Outline, Words, box
from allocator.reporting.pictures.svg import svg

SVG = "{http://www.w3.org/2000/svg}"


def drawing():
    found = Drawing(200.0, 100.0)
    found.add(Words((1.0, 2.0), "a < b & c\x07", 9.0, "#000000", "end", bold=True, turned=True), 3.0)
    found.add(Line(((0.0, 0.0), (1.0, 2.345)), "#111111", 2.0, (4.0, 1.5), "round"), 1.0, "line")
    found.add(Disc((5.0, 6.0), 3.0, "#222222", "#333333", 1.0), 2.0, "disc")
    found.add(Outline(box(0.0, 0.0, 4.0, 5.0), "#444444", "#555555", 0.5))
    return found


def tree(named=None, **root):
    return ElementTree.fromstring(svg(drawing(), "s", named or {}, **root))


def test_named_parts_get_their_attributes_and_all_else_is_hidden_from_screen_readers():
    found = tree({"line": {"role": "button", "aria-label": 'the "line"'}}, role="group", aria_label="p", class_="plan")
    assert (found.get("role"), found.get("aria-label"), found.get("class")) == ("group", "p", "plan")
    assert found.get("viewBox") == "0 0 200 100"
    (line,) = [group for group in found.iter() if group.get("id") == "s-line"]
    assert (line.get("role"), line.get("aria-label")) == ("button", 'the "line"')
    assert [part.get("d") for part in line] == ["M0 0L1 2.35"]
    groups = found.find(f"{SVG}g").findall(f"{SVG}g")
    assert [group.get("aria-hidden") for group in groups] == ["true", None, "true"]


def test_higher_layers_come_later():
    assert [part.tag.removeprefix(SVG) for part in tree().iter()][3:] == ["g", "path", "path", "circle", "text"]


def test_words_are_text_whatever_marks_they_hold():
    (text,) = tree().iter(f"{SVG}text")
    assert text.text == "a < b & c?"
    assert text.get("transform") == "translate(1 2) rotate(-90)"
    assert (text.get("text-anchor"), text.get("font-weight")) == ("end", "bold")


def test_two_drawings_of_a_page_share_no_id():
    ids = [
        part.get("id")
        for salt in ("a", "b")
        for part in ElementTree.fromstring(svg(drawing(), salt, {"line": {}, "disc": {}})).iter()
        if part.get("id")
    ]
    assert sorted(ids) == ["a-disc", "a-line", "b-disc", "b-line"]
