"""The data files of this folder, row by row."""

from __future__ import annotations

import csv
from functools import cache
from importlib.resources import files


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """Rows of a data file by its name without ``.csv``, as dictionaries from heading to text."""
    text = files("allocator.wiring").joinpath("data", f"{name}.csv").read_text(encoding="utf-8")
    return tuple(csv.DictReader(text.splitlines()))
