"""The worked example of problems/README.md, copied where a test may change it: solved in a second."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

from tests.paths import PROBLEMS

TEXT = (PROBLEMS / "README.md").read_text(encoding="utf-8")
EXAMPLE = PROBLEMS / "honey-trailer"
FILES = ("problem.toml", "loads.csv", "places.csv", "segments.csv")


def fenced(language: str, text: str = TEXT) -> list[str]:
    """Blocks of a document in a language."""
    return re.findall(rf"^```{language}\n(.*?\n)```$", text, flags=re.DOTALL | re.MULTILINE)


def write_example(parent: Path) -> Path:
    """Copy the folder of the worked example under a folder."""
    folder = parent / EXAMPLE.name
    folder.mkdir()
    for name in FILES:
        shutil.copyfile(EXAMPLE / name, folder / name)
    return folder
