"""The page that says what the rules mean has a heading for each rule of the check, and for nothing else."""

from __future__ import annotations

import re

from allocator.checking.registry import RULES
from tests.paths import ROOT

TEXT = (ROOT / "allocator" / "checking" / "RULES.md").read_text(encoding="utf-8")


def test_each_rule_has_one_heading():
    headings = re.findall(r"^### (.+)$", TEXT, flags=re.MULTILINE)
    assert sorted(headings) == sorted(RULES)


def test_no_heading_is_empty():
    sections = re.split(r"^#+ ", TEXT, flags=re.MULTILINE)[1:]
    empty = [section.split("\n")[0] for section in sections if section.count("\n") < 2]
    assert empty == []


DEFINED_WHERE_THEY_STAND = {"lowest", "full", "gone", "degraded", "cable", "wires", "can stay", "move"}


def test_every_heading_that_is_referred_to_is_there():
    headings = {heading.lower() for heading in re.findall(r"^#+ (.+)$", TEXT, flags=re.MULTILINE)}
    prose = re.sub(r"```.*?```|`[^`]*`", "", TEXT, flags=re.DOTALL)
    named = {name.lower() for name in re.findall(r"(?<!\*)\*([A-Za-z-][A-Za-z -]*)\*(?!\*)", prose)}
    assert named - DEFINED_WHERE_THEY_STAND <= headings
