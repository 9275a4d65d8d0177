"""The small problem of the README, as a folder: solved in a second."""

from __future__ import annotations

import re
from pathlib import Path

from tests.paths import ROOT

TEXT = (ROOT / "README.md").read_text(encoding="utf-8")
FILES = {"toml": ["problem.toml"], "csv": ["loads.csv", "places.csv", "segments.csv"]}


def fenced(language: str) -> list[str]:
    """Blocks of the README in a language."""
    return re.findall(rf"^```{language}\n(.*?\n)```$", TEXT, flags=re.DOTALL | re.MULTILINE)


def write_example(parent: Path) -> Path:
    """Write the folder of the worked example under a folder."""
    folder = parent / "honey-trailer"
    folder.mkdir()
    for language, names in FILES.items():
        for name, text in zip(names, fenced(language), strict=True):
            (folder / name).write_text(text, encoding="utf-8")
    return folder
