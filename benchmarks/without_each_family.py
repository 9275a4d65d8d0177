"""Is every constraint family needed? Each is taken out of the model in turn, and the tests of the answers are run.

``python -m benchmarks.without_each_family`` prints, family by family, how many tests fail then, and the first of
them. A family that only tightens must make none fail, every other one at least one: else the exit code is 1.
``--drawn`` runs the drawn problems against the oracles too, which takes minutes.
"""

from __future__ import annotations

import argparse
import subprocess
import sys

from allocator.model.constraints import CONSTRAINTS, TIGHTENING

CASES = ("tests/model/test_constraints.py", "-k", "the_model_answers or solving_answers")
DRAWN = ("tests/engine/test_drawn.py", "-k", "least_objective")
SCRIPT = """
import sys

import pytest

from allocator.model.constraints import FAMILIES, TIGHTENING


class Failed:
    def pytest_runtest_logreport(self, report):
        if report.failed:
            print(f"failed: {report.nodeid.split('::')[-1]}")


# what only tightens the bound says some of the same things again, and so goes with a family that does not
for name in (sys.argv[1], *(TIGHTENING if sys.argv[1] in FAMILIES and sys.argv[1] not in TIGHTENING else ())):
    FAMILIES.pop(name, None)
# in this one process: a worker of its own would have the family again
sys.exit(pytest.main([*sys.argv[2:], "-n", "0", "-p", "no:cacheprovider", "--tb=no"], plugins=[Failed()]))
"""


def failing_without(family: str, tests: tuple[str, ...]) -> list[str]:
    """Names of the tests that fail in a process whose model lacks the family.

    Raises
    ------
    RuntimeError
        When the tests could not be run at all.
    """
    run = subprocess.run([sys.executable, "-c", SCRIPT, family, *tests], capture_output=True, text=True, check=False)
    if run.returncode not in (0, 1):
        raise RuntimeError(f"pytest ended with {run.returncode} without {family}:\n{run.stdout}{run.stderr}")
    lines = (line.lstrip(".F") for line in run.stdout.splitlines())
    return [line.removeprefix("failed: ") for line in lines if line.startswith("failed: ")]


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--drawn", action="store_true", help="run the drawn problems too")
    parser.add_argument("families", nargs="*", help="which families to take out; none named: all")
    given = parser.parse_args()
    wrong = []
    for family in ["", *(given.families or CONSTRAINTS)]:
        failing = failing_without(family, CASES) + (failing_without(family, DRAWN) if given.drawn else [])
        may_fail = family not in ("", *TIGHTENING)
        if bool(failing) != may_fail:
            wrong.append(family or "the whole model")
        note = " (only tightens)" if family in TIGHTENING else ""
        shown = f", first {failing[0]}" if failing else ""
        print(f"without {family or 'none'}{note}: {len(failing)} fail{shown}", flush=True)
    if wrong:
        print(f"not as it should be: {', '.join(wrong)}")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
