from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from html.parser import HTMLParser
from itertools import pairwise

import pytest

from allocator.checking.report import Report
from allocator.evaluation.prepare import prepare
from allocator.layout import HAND_MADE, Layout
from allocator.problem import Load
from allocator.reporting.page import html, whole
from tests.reporting.samples import LAYOUT, PROBLEM
from tests.reporting.test_tradeoffs import FOUND


@cache
def page(tradeoff=None):
    return html(PROBLEM, LAYOUT, tradeoff)


class Seen(HTMLParser):
    """Ids, headings and everything that could be fetched."""

    def __init__(self, text):
        super().__init__()
        self.ids, self.headings, self.fetched, self.refers = [], [], [], []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        attrs = dict(attrs)
        self.ids += [attrs["id"]] if "id" in attrs else []
        self.headings += [int(tag[1])] if re.fullmatch("h[1-6]", tag) else []
        self.fetched += [attrs[key] for key in ("src", "srcset", "action", "data") if key in attrs]
        self.fetched += [attrs["href"]] if tag == "link" else []
        self.refers += [attrs["href"][1:]] if tag == "a" else []
        self.refers += [attrs[key] for key in ("aria-labelledby", "aria-controls") if key in attrs]


def test_nothing_is_fetched():
    assert [one for one in Seen(page()).fetched if not one.startswith("data:")] == []
    assert "default-src 'none'" in page()


def test_the_libraries_are_passed_on_with_their_licences():
    for said in ("DataTables 2.3.8", "Copyright SpryMedia Limited", "jQuery v3.8.0", "Copyright OpenJS Foundation"):
        assert said in page()
    assert page().count("Permission is hereby granted") == 2


def test_ids_stand_once_and_every_mention_of_one_has_one():
    seen = Seen(page(FOUND))
    assert len(seen.ids) == len(set(seen.ids))
    assert set(seen.refers) <= set(seen.ids)


def test_headings_go_down_one_step_at_a_time():
    levels = Seen(page(FOUND)).headings
    assert levels[0] == 1 and levels.count(1) == 1
    assert all(b <= a + 1 for a, b in pairwise(levels))


def test_violations_come_first():
    text = page()
    assert "This layout breaks rules" in text
    assert text.index("load dimmed needs dim") < text.index('id="headline"')
    assert "proven optimal over" not in text
    assert "Nothing is proven about a layout that breaks rules" in text


def test_a_clean_layout_shows_its_proof_and_no_alarm(monkeypatch):
    report = Report(violations=(), layout=LAYOUT, stated=prepare(PROBLEM, LAYOUT))
    monkeypatch.setattr(whole, "check", lambda *_: report)
    text = html(PROBLEM, LAYOUT)
    assert "For these inputs no layout weighs less than" in text
    assert "This layout breaks rules" not in text


def test_a_trade_off_is_there_where_it_is_asked_for():
    assert "How much copper extra outputs save" not in page()
    assert "How much copper extra outputs save" in page(FOUND)
    assert page(FOUND).count("Wiring can burn") == 1


def test_cautions_defaults_and_the_state_of_the_problem_are_on_it():
    for said in ("Wiring can burn", "margins: trip 1.25", PROBLEM.digest):
        assert said in page()


def test_without_coordinates_the_page_says_that_nothing_is_to_scale():
    assert "The places have no coordinates" in page()


def test_what_stands_in_no_table_can_be_reached_with_the_keyboard():
    things = [attrs for _, attrs in tags(page()) if "thing" in (attrs.get("class") or "")]
    within = {attrs["class"].split()[1] for attrs in things if attrs.get("tabindex") == "0"}
    beyond = {attrs["class"].split()[1] for attrs in things} - within
    assert within >= {"load", "unit", "source"}
    assert beyond == {"stretch"}
    assert all(attrs["role"] == "button" and attrs["aria-label"] for attrs in things if "tabindex" in attrs)


def test_the_same_layout_gives_the_same_page():
    assert html(PROBLEM, LAYOUT) == page()


@pytest.mark.parametrize("nasty", ["</script><script>alert(1)</script>", '"><img src=x onerror=alert(1)>', "a' & <b>"])
def test_nothing_of_the_users_is_markup(nasty):
    loads = (replace(PROBLEM.loads[0], name=nasty, item=nasty, extra=(("stock", nasty),)), *PROBLEM.loads[1:])
    circuits = (replace(LAYOUT.circuits[0], name=nasty, loads=(nasty,)), *LAYOUT.circuits[1:])
    text = html(replace(PROBLEM, name=nasty, loads=loads), replace(LAYOUT, circuits=circuits))
    assert nasty not in text
    assert isinstance(loads[0], Load)
    assert "onerror" not in {key for _, attrs in tags(text) for key in attrs}
    assert sum(tag == "script" for tag, _ in tags(text)) == 4


@pytest.mark.parametrize("name", ["5 $ lamp $", "$\\frac{1", "ランプ", "x" * 300])
def test_any_name_can_be_drawn(name):
    places = tuple(replace(place, name=name) if place.name == "box" else place for place in PROBLEM.places)
    segments = (*PROBLEM.segments[:2], replace(PROBLEM.segments[2], start=name))
    source = replace(PROBLEM.sources[0], place=name, supply_a=())
    problem = replace(PROBLEM, places=places, segments=segments, sources=(source,), conditions=(name, "night"))
    circuits = (*LAYOUT.circuits, replace(LAYOUT.circuits[0], loads=(f"{name} \x07",), pins=("S4",)))
    assert name in html(problem, replace(LAYOUT, circuits=circuits))


def test_a_layout_without_any_unit_or_circuit_still_gives_a_page():
    assert "Units and their outputs" in html(PROBLEM, replace(LAYOUT, units=(), circuits=()))


def tags(text):
    found = []

    class Tags(HTMLParser):
        def handle_starttag(self, tag, attrs):
            found.append((tag, dict(attrs)))

    Tags().feed(text)
    return found


def test_a_layout_by_hand_that_names_what_is_not_there_still_gives_a_page():
    circuits = (
        replace(LAYOUT.circuits[0], loads=("ghost",), unit="nobody", wires=()),
        replace(LAYOUT.circuits[1], pins=("X9",)),
    )
    strange = Layout(problem="p", status=HAND_MADE, circuits=circuits, units=(replace(LAYOUT.units[0], site="moon"),))
    text = html(PROBLEM, strange)
    assert "This layout breaks rules" in text
    assert "fed by nothing" in text
