"""Which room of the package may know which: parsed from the imports, those inside functions too."""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "allocator"

INPUT = {"problem", "table"}
PHYSICS = {*INPUT, "routing", "wiring"}
ENGINE = {*PHYSICS, "clock", "options", "model", "assembly", "search"}
LAYOUT = {"layout", "evaluation", "checking"}

MAY_KNOW = {
    "table": set(),
    "notebook": {"table"},
    "strict_json": set(),
    "clock": set(),
    "aside": set(),
    "once": set(),
    "output_count": set(),
    "writing": set(),
    "problem": {"notebook", "table"},
    "reading": INPUT,
    "importing": {*INPUT, "reading", "output_count", "writing"},
    "load_demand": {*INPUT, "reading", "importing", "output_count"},
    "routing": {*INPUT, "clock", "once"},
    "wiring": INPUT,
    "options": {*PHYSICS, "clock"},
    "model": {*PHYSICS, "clock", "aside", "options"},
    "layout": {*INPUT, "notebook", "strict_json"},
    "assembly": {*PHYSICS, "options", "model", "layout"},
    "evaluation": {*PHYSICS, "notebook", "once", "layout"},
    "checking": {*PHYSICS, "notebook", "layout", "evaluation"},
    "search": {*ENGINE, *LAYOUT},
    "changes": {*INPUT, "layout"},
    "pareto_front": {*ENGINE, *LAYOUT, "notebook"},
    "explaining": {*ENGINE, *LAYOUT, "changes", "notebook"},
    "infeasibility": {*ENGINE, *LAYOUT, "changes", "notebook"},
    "revising": {*ENGINE, *LAYOUT, "changes", "notebook"},
    "analysis": {*ENGINE, *LAYOUT, "changes", "revising", "notebook", "once"},
    "reporting": {
        *PHYSICS, *LAYOUT, "model", "search", "analysis", "explaining", "infeasibility", "revising", "pareto_front",
        "load_demand", "writing",
    },
    "commands": {
        *INPUT, *LAYOUT, "clock", "reading", "importing", "output_count", "load_demand", "options", "search",
        "analysis", "explaining", "infeasibility", "revising", "pareto_front", "reporting", "writing",
    },
    "cli": {"commands"},
    "__init__": {
        *INPUT, "reading", "importing", "load_demand", "layout", "checking", "search", "analysis", "explaining",
        "infeasibility", "revising", "pareto_front", "reporting",
    },
    "__main__": {"aside", "cli", "commands"},
}  # fmt: skip
ONLY_IN = {
    "pulp": {"model"},
    "highspy": {"model"},
    "pint": {"reading"},
    "typer": {"cli", "commands"},
    "rich": {"reporting"},
    "openpyxl": {"reading", "importing"},
    "xlsxwriter": {"reporting"},
    "xlrd": {"reading"},
    "jinja2": {"reporting"},
    "matplotlib": {"reporting"},
}
ALONE = {
    "analysis": {
        "energy": "currents by condition and duty: nothing else here goes by duty",
        "headroom": "with the two below it asks what may be added; the others ask what is there",
        "larger_after_revision": "with headroom",
        "largest_load": "with headroom",
    },
    "importing": {
        "beginning": "the first folder, copied as it is",
        "workbook": "a folder as a workbook: the other way round",
    },
    "problem": {"as_written": "how a figure is written into the tables, for whoever proposes another"},
    "search": {
        "stopwatch": "for whoever solves many times: explanations, ways out, headroom",
    },
    "wiring": {
        "bundles": "published factors: a table, not heat",
        "protection": "standard fuses and trips",
        "short_circuit": "a law of its own",
        "tables": "reads the tables of the first two",
    },
}
"""By room the modules that no import ties to most of it, and why they live there all the same."""

HELPERS, FEW, SHARE = 2, 4, 1 / 3
"""A room is a drawer where, its two most imported modules aside, more than a few and a third have nothing to do with
the rest: features that only share a helper. (The drawer that was here had 20 of 47 such modules.)"""


def part_of(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


@cache
def nodes(path: Path) -> list[ast.AST]:
    """The imports of a file."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return [node for node in ast.walk(tree) if isinstance(node, ast.Import | ast.ImportFrom)]


def imported(path: Path) -> Iterator[str]:
    """Dotted names that a file imports; ``from allocator import x`` counts as ``allocator.x``."""
    for node in nodes(path):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: imports are written in full here"
            if node.module == "allocator":
                yield from (f"allocator.{name.name}" for name in node.names)
            else:
                yield str(node.module)


FILES = sorted(PACKAGE.rglob("*.py"))
ROOMS = sorted({part_of(path) for path in FILES})


def test_every_room_of_the_package_has_its_arrows():
    assert set(ROOMS) == set(MAY_KNOW)


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
    """Rooms can be put in an order in which each knows only those before it."""
    left = {part: known - {part} for part, known in MAY_KNOW.items()}
    while left:
        free = [part for part, known in left.items() if not known & set(left)]
        assert free, f"these know each other: {sorted(left)}"
        for part in free:
            del left[part]


def reached(part: str) -> set[str]:
    """Rooms that a room knows, by way of others too."""
    found: set[str] = set()
    waiting = [part]
    while waiting:
        for known in MAY_KNOW[waiting.pop()] - found:
            found.add(known)
            waiting.append(known)
    return found


@pytest.mark.parametrize("part", ["layout", "evaluation", "checking"])
def test_whoever_judges_a_layout_knows_nothing_of_who_made_it(part):
    assert not reached(part) & {"options", "model", "assembly", "search"}


def test_an_import_inside_a_function_is_seen(tmp_path):
    file = tmp_path / "file.py"
    file.write_text("def f():\n    from allocator.options import slots\n    import pulp\n")
    assert list(imported(file)) == ["allocator.options", "pulp"]


def module_of(path: Path) -> str:
    return ".".join(("allocator", *path.relative_to(PACKAGE).with_suffix("").parts)).removesuffix(".__init__")


@cache
def knows() -> dict[str, set[str]]:
    """By module the modules that it imports, for type checking alone too, and the packages that this runs."""
    modules = {module_of(path): path for path in FILES}
    found: dict[str, set[str]] = {}
    for name, path in modules.items():
        asked: set[str] = set()
        for node in nodes(path):
            if isinstance(node, ast.ImportFrom):
                whole = {f"{node.module}.{one.name}" for one in node.names}
                asked |= (whole & set(modules)) or {str(node.module)}
        around = {".".join(one.split(".")[:n]) for one in asked for n in range(1, one.count(".") + 1)}
        # a package's own modules may be imported by it, and itself runs before them
        asked |= {one for one in around if not name.startswith(f"{one}.")}
        found[name] = {one for one in asked if one in modules and one != name}
    return found


PACKAGES = {module_of(path) for path in FILES if path.name == "__init__.py"}


def circles(known: Mapping[str, set[str]]) -> set[str]:
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


@pytest.mark.parametrize("part", ROOMS)
def test_modules_of_a_room_know_each_other_in_no_circle(part):
    own = {name for name in knows() if name.split(".")[1:2] == [part]}
    tied = circles({name: knows()[name] & own for name in own})
    assert not tied, f"these know each other: {sorted(tied)}"


def test_a_circle_is_seen():
    assert circles({"a": {"b"}, "b": {"c"}, "c": {"b"}, "d": set()}) >= {"b", "c"}
    assert circles({"a": {"b"}, "b": {"c"}, "c": set()}) == set()


def alone(known: Mapping[str, set[str]]) -> set[str]:
    """Modules that no import ties, one way or the other, to the most that hang together."""
    left = set(known)
    groups: list[set[str]] = []
    while left:
        group = {left.pop()}
        while more := {one for one in left if known[one] & group or any(one in known[other] for other in group)}:
            group |= more
            left -= more
        groups.append(group)
    return set(known) - max(groups, key=len, default=set())


def without_helpers(known: Mapping[str, set[str]]) -> dict[str, set[str]]:
    """The same without the modules that most others import."""
    left = dict(known)
    for _ in range(min(HELPERS, len(left))):
        most = max(left, key=lambda one: sum(one in others for others in left.values()))
        left = {name: others - {most} for name, others in left.items() if name != most}
    return left


def drawer(known: Mapping[str, set[str]]) -> bool:
    left = without_helpers(known)
    return len(alone(left)) > max(FEW, SHARE * len(left))


def inside(part: str) -> dict[str, set[str]]:
    """By module of a room, packages aside, the others that it imports."""
    own = {name for name in knows() if name.split(".")[1:2] == [part]} - PACKAGES
    return {name: knows()[name] & own for name in own}


@pytest.mark.parametrize("part", ROOMS)
def test_no_room_is_a_drawer(part):
    assert not drawer(inside(part))


@pytest.mark.parametrize("part", ROOMS)
def test_a_module_that_shares_nothing_with_its_room_says_why_it_lives_there(part):
    assert {name.split(".", 2)[-1] for name in alone(inside(part))} == set(ALONE.get(part, ()))


def test_a_drawer_is_seen():
    assert alone({"a": {"b"}, "b": set(), "c": {"b"}, "d": set(), "e": {"d"}}) == {"d", "e"}
    features = {
        f"{name}{n}": {"helper", f"{name}{n + 1}"} if n < 2 else {"helper"} for name in "abcd" for n in range(3)
    }
    assert drawer({**features, "helper": set()})
    assert not drawer({f"a{n}": {"helper", f"a{n - 1}"} for n in range(1, 9)} | {"a0": set(), "helper": set()})
