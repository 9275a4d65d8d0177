"""All documents: lines of a width, links that lead somewhere, files that exist, figures dated in one place."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from tests.paths import ROOT
from tests.test_arrows import MAY_KNOW

PATTERNS = ("*.md", "allocator/**/*.md", "problems/**/*.md", "benchmarks/*.md")
PAGES = sorted(page for pattern in PATTERNS for page in ROOT.glob(pattern))
WIDTH = 140
DATED = {"benchmarks/RESULTS.md", "allocator/CHANGES.md"}


def called(page: Path) -> str:
    return str(page.relative_to(ROOT))


def anchors(page: Path) -> set[str]:
    """Headings of a page as links name them."""
    headings = re.findall(r"^#+ (.+)$", page.read_text(encoding="utf-8"), flags=re.MULTILINE)
    return {re.sub(r"[^a-z0-9 _-]", "", heading.lower()).replace(" ", "-") for heading in headings}


def test_the_pages_are_found():
    assert {"README.md", "DEVELOPERS.md", "problems/README.md", "allocator/checking/RULES.md"} <= {*map(called, PAGES)}


@pytest.mark.parametrize("page", PAGES, ids=called)
def test_lines_are_no_longer_than_a_screen_is_wide(page):
    lines = page.read_text(encoding="utf-8").split("\n")
    assert [line for line in lines if len(line) >= WIDTH] == []


@pytest.mark.parametrize("page", PAGES, ids=called)
def test_every_link_leads_somewhere(page):
    for link in re.findall(r"\]\(([^)]+)\)", page.read_text(encoding="utf-8")):
        path, _, anchor = link.partition("#")
        target = (page.parent / path).resolve() if path else page
        assert target.exists(), link
        if target.suffix == ".png":
            assert target.read_bytes().startswith(b"\x89PNG")
        if anchor:
            assert anchor in anchors(target), link


NAMED = re.compile(r"`((?:[a-z_]+/)+(?:[a-z_]+(?:\.[a-z]+)?)?|[a-z_]+\.py)`")
"""A file or folder in code font: with a slash, or a module by its name."""


@pytest.mark.parametrize("page", PAGES, ids=called)
def test_every_file_that_is_named_is_there(page):
    roots = [page.parent, ROOT, ROOT / "tests" / "oracle", ROOT / "benchmarks", ROOT / "allocator"]
    roots += [path for path in (ROOT / "allocator").rglob("*") if path.is_dir()]
    names = NAMED.findall(page.read_text(encoding="utf-8"))
    assert [name for name in names if not any((root / name).exists() for root in roots)] == []


@pytest.mark.parametrize("page", PAGES, ids=called)
def test_figures_are_dated_in_one_place(page):
    dates = re.findall(r"\b20\d\d-\d\d-\d\d\b", page.read_text(encoding="utf-8"))
    assert bool(dates) == (called(page) in DATED)


def test_the_pictures_are_shown():
    text = "".join(page.read_text(encoding="utf-8") for page in PAGES)
    shown = set(re.findall(r"\.pictures/([a-z-]+\.png)", text))
    assert shown == {path.name for path in (ROOT / ".pictures").iterdir()}


def test_the_table_of_rooms_says_what_each_may_import():
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    groups: dict[str, set[str]] = {}
    for group, members in re.findall(r"\*([a-z]+)\*\s=\s([^;]*?)[;.](?=\s)", text):
        groups[group] = named(members, groups)
    rooms = re.findall(r"^\| `([a-z_]+)` \| [^|]* \| ([^|]*) ?\|$", text, flags=re.MULTILINE)
    assert len(rooms) == len(MAY_KNOW)
    assert {room: named(known, groups) - {room} for room, known in rooms} == {
        room: known - {room} for room, known in MAY_KNOW.items()
    }


def named(words: str, groups: dict[str, set[str]]) -> set[str]:
    """Rooms in code font, and those of the groups that are named in plain text."""
    plain = re.findall(r"[a-z]+", re.sub(r"`[^`]*`", "", words))
    return set(re.findall(r"`([a-z_]+)`", words)).union(*(groups[group] for group in plain))


def test_pages_of_the_package_go_with_it():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    patterns = project["tool"]["setuptools"]["package-data"]["allocator"]
    shipped = {path for pattern in patterns for path in (ROOT / "allocator").glob(pattern)}
    assert {page for page in PAGES if page.is_relative_to(ROOT / "allocator")} <= shipped
