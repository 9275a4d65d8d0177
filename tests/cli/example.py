"""The worked example of problems/README.md, copied where a test may change it: solved in a second.

``python -m tests.cli.example`` solves it and writes into the page what is printed now, as many paragraphs as before.
"""

from __future__ import annotations

import re
import shutil
from pathlib import Path

from tests.paths import PROBLEMS

PAGE = PROBLEMS / "README.md"
TEXT = PAGE.read_text(encoding="utf-8")
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


def printed_now(text: str, output: str) -> str:
    """A page with what a command prints now in place of what it printed: from the same first line on."""
    for block in fenced("text", text):
        first = block.split("\n")[0]
        start = f"\n{output}".index(f"\n{first}\n")
        paragraphs = output[start:].rstrip("\n").split("\n\n")[: len(block.split("\n\n"))]
        text = text.replace(f"```text\n{block}```", "```text\n" + "\n\n".join(paragraphs) + "\n```")
    return text


if __name__ == "__main__":
    from tests.cli.running import allocator

    PAGE.write_text(printed_now(TEXT, allocator("solve", EXAMPLE).out), encoding="utf-8")
