"""Which part of the package may know which: parsed from the imports, those inside functions too."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "allocator"

BASE = {"clock", "problem", "routing", "wiring"}
MAY_KNOW = {
    "table": set(),
    "notebook": {"table"},
    "problem": {"notebook", "table"},
    "strict_json": set(),
    "layout": {"notebook", "problem", "strict_json", "table"},
    "reading": {"problem"},
    "clock": set(),
    "aside": set(),
    "routing": {"clock", "problem"},
    "wiring": {"problem"},
    "pricing": {*BASE, "reading"},
    "choosing": {*BASE, "aside", "pricing"},
    "pinning": {*BASE, "pricing", "choosing", "layout"},
    "assembling": {*BASE, "pricing", "choosing", "pinning", "layout"},
    "starting": {*BASE, "pricing", "choosing", "layout"},
    "search": {*BASE, "pricing", "choosing", "assembling", "checking"},
    "bundling": {*BASE, "pricing", "choosing", "assembling", "starting", "search", "checking", "layout"},
    "solving": {*BASE, "pricing", "choosing", "assembling", "starting", "search", "bundling", "checking", "layout"},
    "checking": {*BASE, "notebook", "layout", "table"},
    "sizing": set(),
    "writing": set(),
    "importing": {"problem", "reading", "sizing", "writing"},
    "advising": {
        *BASE, "notebook", "reading", "pricing", "choosing", "assembling", "starting", "search", "solving", "checking",
        "layout", "importing", "sizing", "table",
    },
    "showing": {*BASE, "solving", "checking", "advising", "layout", "table", "writing"},
    "commands": {
        "clock", "pricing", "problem", "reading", "importing", "sizing", "solving", "checking", "advising", "showing",
        "layout", "writing",
    },
    "cli": {"commands"},
    "__init__": {"problem", "reading", "importing", "solving", "checking", "advising", "showing", "layout"},
    "__main__": {"aside", "cli", "commands"},
}
ONLY_IN = {
    "pulp": {"choosing"},
    "highspy": {"choosing"},
    "pint": {"reading"},
    "typer": {"cli", "commands"},
    "rich": {"showing"},
    "openpyxl": {"reading", "importing"},
    "xlsxwriter": {"showing"},
    "xlrd": {"reading"},
    "jinja2": {"showing"},
    "matplotlib": {"showing"},
}


def part_of(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def imported(path: Path) -> Iterator[str]:
    """Dotted names that a file imports; ``from allocator import x`` counts as ``allocator.x``."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: imports are written in full here"
            if node.module == "allocator":
                yield from (f"allocator.{name.name}" for name in node.names)
            else:
                yield str(node.module)


FILES = sorted(PACKAGE.rglob("*.py"))


def test_every_part_of_the_package_has_its_arrows():
    assert {part_of(path) for path in FILES} <= set(MAY_KNOW)


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_arrows_go_one_way(path):
    part = part_of(path)
    known = {name.split(".")[1] for name in imported(path) if name.startswith("allocator.")}
    assert known - {part} <= MAY_KNOW[part]


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_a_library_is_used_where_it_belongs(path):
    for name in {name.split(".")[0] for name in imported(path)} & set(ONLY_IN):
        assert part_of(path) in ONLY_IN[name], f"{name} is imported in {path}"


def test_the_arrows_have_no_way_back():
    """Parts can be put in an order in which each knows only those before it."""
    left = {part: set(known) for part, known in MAY_KNOW.items()}
    while left:
        free = [part for part, known in left.items() if not known & set(left)]
        assert free, f"these know each other: {sorted(left)}"
        for part in free:
            del left[part]


def test_an_import_inside_a_function_is_seen(tmp_path):
    file = tmp_path / "file.py"
    file.write_text("def f():\n    from allocator.pricing import options\n    import pulp\n")
    assert list(imported(file)) == ["allocator.pricing", "pulp"]


def module_of(path: Path) -> str:
    return ".".join(("allocator", *path.relative_to(PACKAGE).with_suffix("").parts)).removesuffix(".__init__")


def knows(files: list[Path]) -> dict[str, set[str]]:
    """By module the modules that it imports, for type checking alone too, and the packages that this runs."""
    modules = {module_of(path): path for path in files}
    found: dict[str, set[str]] = {}
    for name, path in modules.items():
        asked: set[str] = set()
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom):
                whole = {f"{node.module}.{one.name}" for one in node.names}
                asked |= (whole & set(modules)) or {str(node.module)}
        around = {".".join(one.split(".")[:n]) for one in asked for n in range(1, one.count(".") + 1)}
        # a package's own modules may be imported by it, and itself runs before them
        asked |= {one for one in around if not name.startswith(f"{one}.")}
        found[name] = {one for one in asked if one in modules and one != name}
    return found


def circles(known: dict[str, set[str]]) -> set[str]:
    """Modules from which a way of imports leads back to them."""
    left = {name: set(others) for name, others in known.items()}
    while True:
        ends = {name for name, others in left.items() if not others}
        starts = set(left) - set().union(*left.values())
        if not ends | starts:
            return set(left)
        left = {name: others - ends for name, others in left.items() if name not in ends | starts}
        if not left:
            return set()


def test_modules_of_a_part_know_each_other_in_no_circle():
    known = knows(FILES)
    for part in {part_of(path) for path in FILES}:
        inside = {name for name in known if name.split(".")[1:2] == [part]}
        tied = circles({name: known[name] & inside for name in inside})
        assert not tied, f"these know each other: {sorted(tied)}"


def test_a_circle_is_seen():
    assert circles({"a": {"b"}, "b": {"c"}, "c": {"b"}, "d": set()}) >= {"b", "c"}
    assert circles({"a": {"b"}, "b": {"c"}, "c": set()}) == set()
