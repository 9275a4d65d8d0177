"""What is imported when: libraries that cost time come where they are needed, and not before."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

import allocator
from tests.cli.example import write_example
from tests.paths import PROBLEMS
from tests.solved import solved

SLOW = [
    "highspy", "jinja2", "matplotlib", "networkx", "numpy", "openpyxl", "pandas", "pint", "pulp", "xlsxwriter",
]  # fmt: skip

AFTER = """
import json, sys
{code}
print(json.dumps(sorted({{name.split(".")[0] for name in sys.modules}})), file=sys.stderr)
"""

COMMAND = """
from allocator.cli import app
try:
    app({arguments!r}, standalone_mode=True)
except SystemExit as end:
    assert not end.code, end.code
"""


def loaded(code: str) -> list[str]:
    """Top-level modules in a fresh interpreter after some code has run."""
    run = subprocess.run([sys.executable, "-c", AFTER.format(code=code)], capture_output=True, text=True, check=True)
    return json.loads(run.stderr.splitlines()[-1])


@pytest.mark.parametrize(
    "code",
    [
        "import allocator",
        "from allocator import Problem, Layout, ProblemError",
        COMMAND.format(arguments=["--help"]),
        COMMAND.format(arguments=["solve", "--help"]),
    ],
    ids=["import", "objects", "help", "help of solve"],
)
def test_nothing_slow_is_imported_before_it_is_needed(code):
    assert [name for name in loaded(code) if name in SLOW] == []


def test_solving_imports_no_plotting(tmp_path):
    modules = loaded(COMMAND.format(arguments=["solve", str(write_example(tmp_path))]))
    assert "pulp" in modules
    assert "matplotlib" not in modules


def test_files_of_a_result_are_made_without_matplotlib_and_pandas(tmp_path):
    """From a layout that is there: versions 4 of PuLP, which a search needs, import pandas themselves."""
    problem = str(PROBLEMS / "hill-climber")
    layout = tmp_path / "layout.json"
    layout.write_text(solved("hill-climber").to_json(), encoding="utf-8")
    modules = loaded(COMMAND.format(arguments=["report", problem, str(layout), "--out", str(tmp_path / "out")]))
    assert "xlsxwriter" in modules
    assert not {"matplotlib", "openpyxl", "pandas"} & {*modules}


def test_every_public_name_is_there():
    assert set(allocator.__all__) <= set(dir(allocator))
    for name in allocator.__all__:
        assert getattr(allocator, name) is not None


def test_an_unknown_name_is_refused_as_usual():
    with pytest.raises(AttributeError, match="module 'allocator' has no attribute 'revize'"):
        allocator.revize  # noqa: B018
