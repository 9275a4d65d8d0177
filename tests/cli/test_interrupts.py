"""Ctrl-C, SIGTERM and SIGHUP are one thing, at every moment of a command."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from allocator.commands.interrupts import SIGNALS, Interrupts, listen
from tests.paths import ROOT

SEARCHES = """
import sys
from dataclasses import replace
from functools import partial
import allocator.reading
from allocator.__main__ import main
from allocator.problem import Bundling
from allocator.reporting import progress
from benchmarks.machines import FEATURES, Size, machine

problem = machine(Size(20, 2, 4), FEATURES)
problem = replace(problem, margins=replace(problem.margins, bundle=Bundling.HEAT))
allocator.reading.read_problem = lambda path: problem
progress.ProgressDisplay = partial(progress.ProgressDisplay, interval_s=0.1)
sys.argv = ["allocator", "solve", "a machine", "--out", sys.argv[1]]
main()
"""
"""Has a bound to tell within a second, a proof after most of a minute, and tells often."""

HANGS_S = 20.0
"""A command that is still there so long after a signal hangs: this is no timing."""


@pytest.fixture
def handlers() -> Iterator[None]:
    before, hook = {one: signal.getsignal(one) for one in SIGNALS}, sys.unraisablehook
    yield
    sys.unraisablehook = hook
    for one, handler in before.items():
        signal.signal(one, handler)


def started(*command: str) -> subprocess.Popen[str]:
    return subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, cwd=ROOT)


def searching(process: subprocess.Popen[str]) -> str:
    """Wait until the search tells where it stands."""
    assert process.stderr is not None
    said = []
    for line in process.stderr:
        said.append(line)
        if line.startswith(("best", "no layout yet")):
            return "".join(said)
    raise AssertionError("".join(said))


@pytest.mark.parametrize("one", SIGNALS, ids=lambda one: one.name)
def test_while_searching_each_of_them_gives_the_best_so_far(one: signal.Signals, tmp_path: Path) -> None:
    with started(sys.executable, "-c", SEARCHES, str(tmp_path / "out")) as process:
        said = searching(process)
        assert process.poll() is None, said
        process.send_signal(one)
        out, err = process.communicate(timeout=HANGS_S)
    assert process.returncode == 130
    assert "Traceback" not in err
    assert err.endswith("interrupted: this is the best that the search has found\n")
    found = out.splitlines()[0].endswith(": feasible")
    assert found == (tmp_path / "out" / "layout.json").exists()
    assert found or "no layout was found before the search ended" in out


@pytest.mark.skipif(not hasattr(signal, "SIGHUP"), reason="Windows has no SIGHUP")
def test_a_hangup_that_nohup_ignores_stays_ignored(tmp_path: Path) -> None:
    with started("nohup", sys.executable, "-c", SEARCHES, str(tmp_path / "out")) as process:
        searching(process)
        process.send_signal(signal.SIGHUP)
        searching(process)
        process.terminate()
        process.communicate(timeout=HANGS_S)
    assert process.returncode == 130


STARTS = """
import sys
from allocator import __main__

listened = __main__.listen
__main__.listen = lambda: (listened(), print(flush=True))
sys.argv = ["allocator", "solve", "problems/clinic-van"]
__main__.main()
"""


@pytest.mark.parametrize("after_s", [0.0, 0.1, 0.3])
def test_while_the_command_starts_a_signal_is_no_traceback(after_s: float) -> None:
    with started(sys.executable, "-c", STARTS) as process:
        assert process.stdout is not None
        process.stdout.readline()
        time.sleep(after_s)
        process.terminate()
        process.terminate()
        _, err = process.communicate(timeout=HANGS_S)
    assert process.returncode == 130
    assert "Traceback" not in err


@pytest.mark.usefixtures("handlers")
@pytest.mark.parametrize("one", SIGNALS, ids=lambda one: one.name)
def test_outside_the_solver_each_of_them_raises_what_ctrl_c_raises_and_is_counted(one: signal.Signals) -> None:
    listen()
    with Interrupts() as interrupts:
        assert not interrupts.pressed()
        with pytest.raises(KeyboardInterrupt):
            os.kill(os.getpid(), one)
            time.sleep(HANGS_S)
        assert interrupts.pressed()


@pytest.mark.usefixtures("handlers")
@pytest.mark.parametrize("one", SIGNALS, ids=lambda one: one.name)
def test_a_signal_that_comes_while_an_object_is_cleared_away_is_not_lost(one: signal.Signals) -> None:
    class Cleared:
        def __del__(self) -> None:
            os.kill(os.getpid(), one)

    listen()
    with pytest.raises(KeyboardInterrupt):
        Cleared()
        ends = time.monotonic() + HANGS_S
        while time.monotonic() < ends:
            # what is sent again wakes nobody: it is raised once a sleep is over
            time.sleep(0.01)


@pytest.mark.usefixtures("handlers")
def test_what_else_goes_wrong_there_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    class Cleared:
        def __del__(self) -> None:
            raise RuntimeError("not cleared")

    listen()
    Cleared()
    assert "not cleared" in capsys.readouterr().err


@pytest.mark.usefixtures("handlers")
def test_outside_the_main_thread_no_handler_is_touched() -> None:
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    thread = threading.Thread(target=listen)
    thread.start()
    thread.join()
    assert signal.getsignal(signal.SIGTERM) is signal.SIG_DFL


@pytest.mark.parametrize("one", SIGNALS, ids=lambda one: one.name)
def test_while_the_options_are_read_none_of_them_is_a_verdict(one: signal.Signals) -> None:
    """A signal in the midst of reading an option, before the command itself is under way."""
    code = f"""
import os, sys
import allocator.commands.numbers as numbers
from allocator.__main__ import main

numbers.float = lambda text: os.kill(os.getpid(), {int(one)})
sys.argv = ["allocator", "solve", "a machine", "--time-limit", "5"]
main()
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, check=False)
    assert done.returncode == 130
    assert "Traceback" not in done.stderr
