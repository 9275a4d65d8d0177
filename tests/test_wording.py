"""Keys and codes decide, sentences are made at the end: no module looks into text that the package has made."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "allocator"

READS_INPUT = {"reading", "importing"}
"""Parts whose work it is to understand what people wrote."""

SENTENCES = {
    "wrong", "remedy", "words", "said", "text", "reason", "reasons", "sentence", "report", "cut_short", "faults",
    "title", "caption", "heading",
}  # fmt: skip
"""Names of fields and variables that hold text for people."""

LOOKS_INTO = {
    "startswith", "endswith", "split", "rsplit", "partition", "rpartition", "removeprefix", "removesuffix", "replace",
    "find", "rfind", "index", "count",
}  # fmt: skip
OF_RE = {"match", "fullmatch", "search", "findall", "finditer", "split", "sub", "compile"}
BLOCKS = {"Heading", "Paragraph", "Table"}

DECIDES = {"faults", "cut_short"}
"""Names of fields that others go by: whether there are any, or which. They hold objects with a code, never text."""

ALLOWED = {
    ("commands/demand.py", "text.replace(';', ',')"): "what the user wrote after --steps",
    ("commands/numbers.py", "text.endswith('%')"): "what the user wrote after an option",
    ("commands/numbers.py", "text.removesuffix('%')"): "what the user wrote after an option",
    ("layout/layout.py", "isinstance(item.get('name'), str)"): "what a layout file holds",
    ("layout/layout.py", "isinstance(item, str)"): "what a layout file holds",
    ("layout/layout.py", "isinstance(named, str)"): "what a layout file holds",
    ("layout/layout.py", "isinstance(value, str)"): "what a layout file holds",
    ("problem/self_checks.py", "isinstance(value, str)"): "the value of a mistake, as it is shown",
    ("reporting/harmless.py", "T | str"): "a cell of a sheet: text or number",
    ("reporting/harmless.py", "isinstance(cell, str)"): "a cell of a sheet: text or number",
    ("reporting/lists/build.py", "heading.replace('_', ' ')"): "how the user heads a column of the schedule",
    ("reporting/lists/sheets.py", "shown.replace('&G', '& G')"): "codes that a spreadsheet reads in a footer, escaped",
    ("reporting/lists/sheets.py", "isinstance(cell, str)"): "a cell of a sheet: text or number",
    ("reporting/page/details.py", "loads.split('; ')"): "a cell of a record: names hold no semicolon",
    ("reporting/text.py", "text.startswith(ITEM)"): "layout only: lines of an item are indented",
    ("reporting/text.py", "text.removeprefix(ITEM)"): "layout only: lines of an item are indented",
    ("writing/manifest.py", "isinstance(word, str)"): "what the file of a folder's contents holds",
}
"""Expressions that look into what a user wrote or tell text from numbers in a cell: (file, expression), and why."""


def steering(tree: ast.AST) -> Iterator[ast.expr]:
    """Expressions that compare, take apart or match text for people, and types by which text decides."""
    for node in ast.walk(tree):
        yield from _decided_by_text(node)
        if isinstance(node, ast.Compare) and _compares_text([node.left, *node.comparators]):
            yield node
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            what, method = node.func.value, node.func.attr
            literals = any(_english(argument) for argument in node.args)
            of_re = isinstance(what, ast.Name) and what.id == "re" and method in OF_RE
            if (of_re and (literals or any(map(_sentence, node.args)))) or (
                method in LOOKS_INTO and (literals or (_sentence(what) and node.args))
            ):
                yield node


def _decided_by_text(node: ast.AST) -> Iterator[ast.expr]:
    """Text in place of a result, told from it by its type; fields to go by that hold text; sets of sentences."""
    if isinstance(node, ast.Call) and ast.unparse(node.func) == "isinstance":
        if any(isinstance(one, ast.Name) and one.id == "str" for one in ast.walk(node.args[1])):
            yield node
    elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr == "add":
        if any(isinstance(one, ast.Constant) and _english(one) for one in node.args):
            yield node
    elif isinstance(node, ast.FunctionDef) and node.returns is not None:
        if _or_text(node.returns) or (node.name in DECIDES and _of_text(node.returns)):
            yield node.returns
    elif (
        isinstance(node, ast.AnnAssign)
        and ast.unparse(node.target).rpartition(".")[2] in DECIDES
        and _of_text(node.annotation)
    ):
        yield node.annotation


def _or_text(annotation: ast.expr) -> bool:
    """Whether it is a union of text with something else; a name that may be missing is none."""
    members = {ast.unparse(one) for one in _members(annotation)} - {"None"}
    return "str" in members and len(members) > 1


def _members(annotation: ast.expr) -> Iterator[ast.expr]:
    if isinstance(annotation, ast.BinOp) and isinstance(annotation.op, ast.BitOr):
        yield from _members(annotation.left)
        yield from _members(annotation.right)
    else:
        yield annotation


def _of_text(annotation: ast.expr) -> bool:
    return any(isinstance(one, ast.Name) and one.id == "str" for one in ast.walk(annotation))


def _compares_text(sides: list[ast.expr]) -> bool:
    """Whether one side is made of words, or a block to be shown; or a sentence is held against a literal."""
    literal = any(isinstance(side, ast.Constant) and isinstance(side.value, str) and side.value for side in sides)
    return any(_english(side) or _block(side) or (literal and _sentence(side)) for side in sides)


def _block(node: ast.expr) -> bool:
    return isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in BLOCKS


def _sentence(node: ast.expr) -> bool:
    name = node.attr if isinstance(node, ast.Attribute) else node.id if isinstance(node, ast.Name) else ""
    return name in SENTENCES


def _english(node: ast.expr) -> bool:
    """Whether it is a literal with a word and a space beside it, or text made of words and values."""
    if isinstance(node, ast.JoinedStr):
        return any(isinstance(p, ast.Constant) and re.search(r"[A-Za-z]{2}", str(p.value)) for p in node.values)
    return (
        isinstance(node, ast.Constant)
        and isinstance(node.value, str)
        and " " in node.value.strip("_")
        and bool(re.search(r"[A-Za-z(*;:]", node.value))
    )


FILES = [path for path in sorted(PACKAGE.rglob("*.py")) if path.relative_to(PACKAGE).parts[0] not in READS_INPUT]


def found_in(source: str) -> list[str]:
    return [ast.unparse(one) for one in steering(ast.parse(source))]


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_no_module_branches_on_wording(path):
    name = path.relative_to(PACKAGE).as_posix()
    found = {(name, one) for one in found_in(path.read_text(encoding="utf-8"))}
    assert found <= set(ALLOWED), "give it a key or a code, and make the sentence at the end"


def test_every_exception_is_still_there():
    there = {
        (name, one)
        for name in {name for name, _ in ALLOWED}
        for one in found_in((PACKAGE / name).read_text(encoding="utf-8"))
    }
    assert set(ALLOWED) <= there


# as they stood in the package once, each with what went wrong by it or might have
ONCE = (
    'any("known" in mistake.wrong for mistake in found)',
    'refusal.reason.startswith("no trip setting")',
    "miss.refusal.reason.startswith(start)",
    "re.match(r\"use a unit type like '.*?' (?=(whose|that|of which) )\", change.words)",
    "fault.startswith(f\"direct load '{load.name}'\")",
    'watts(amount).removesuffix(" W/m")',
    'block == Heading("Cautions")',
    'block.text.removeprefix("* ")',
    'f"feed of {unit.name}" not in reasons',
    'what == f"source {source.name}"',
    'text.partition(" (")',
    'text.replace(" each", "").split(": ")',
    "def fuse_for(problem: Problem, load: Load) -> float | str: ...",
    "def _options_of(bench: Workbench, load: Load) -> list[tuple[float, WiringPlan]] | str: ...",
    "isinstance(fuse, str)",
    "faults: tuple[str, ...]",
    'bench.cut.add("return wires of shared outputs: not every combination is listed")',
    "def cut_short(self) -> tuple[str, ...]: ...",
)


@pytest.mark.parametrize("line", ONCE)
def test_what_steered_by_wording_once_would_be_found(line):
    assert found_in(line)


@pytest.mark.parametrize(
    "line",
    (
        "refusal.why is Why.NO_TRIP",
        'wire.role == "return"',
        "name in draft.known",
        '", ".join(names)',
        "isinstance(fuse, Fault)",
        "def fuse_for(problem: Problem, load: Load) -> float | Fault: ...",
        "def stud_of(self, place: str) -> str | None: ...",
        "def reasons(self) -> tuple[str, ...]: ...",
        "cut_short: tuple[CutShort, ...]",
        "bench.cut.add(CutShort(Cut.SHARED_RETURNS))",
    ),
)
def test_keys_codes_and_sentences_in_the_making_are_let_pass(line):
    assert not found_in(line)
