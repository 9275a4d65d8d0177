"""Faults at the n-th touch of a disk: raised, or the process is killed. In a child process, so that nothing remains."""

from __future__ import annotations

import builtins
import errno
import json
import os
import signal
import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

TOUCHES = {"open", "os.rename", "os.mkdir", "os.remove", "os.rmdir", "os.link", "os.symlink", "os.chmod", "os.chown"}
"""Events that Python itself announces (`sys.addaudithook`) before it does them; os.replace is a rename to it."""

FILLS = {"create", "write", "os.mkdir", "os.link", "fsync"}
"""What a full disk refuses."""

FAULTS = ("no space", "full from here", "broken disk", "interrupt", "no import", "kill")


class _Faults:
    """Counts touches while ``on``; the n-th is the fault."""

    def __init__(self, fault: str, n: int) -> None:
        self.fault, self.n = fault, n
        self.count, self.on, self.hit = 0, True, ""

    def touch(self, what: str) -> None:
        if not self.on or (self.fault == "no import") != (what == "import"):
            return
        self.count += 1
        if self.fault == "full from here":
            if self.count >= self.n and what in FILLS:
                self.hit = self.hit or what
                raise OSError(errno.ENOSPC, "No space left on device")
        elif self.count == self.n:
            self.hit = what
            self._strike()

    def _strike(self) -> None:
        match self.fault:
            case "no space":
                raise OSError(errno.ENOSPC, "No space left on device")
            case "broken disk":
                raise OSError(errno.EIO, "Input/output error")
            case "interrupt":
                raise KeyboardInterrupt
            case "no import":
                raise ImportError("no such library")
            case "kill":
                os.kill(os.getpid(), signal.SIGKILL)

    def audited(self, event: str, arguments: tuple) -> None:
        if event == "open" and arguments[2] & os.O_CREAT:
            self.touch("create")
        elif event in TOUCHES:
            self.touch(event)


def _watched(faults: _Faults) -> None:
    """What Python does not announce is counted by standing in for it."""
    write, fsync, load = os.write, os.fsync, builtins.__import__

    def counted_write(handle, data):
        faults.touch("write")
        return write(handle, data)

    def counted_fsync(handle):
        faults.touch("fsync")
        return fsync(handle)

    def counted_import(name, globals=None, *others, **named):
        if globals and str(globals.get("__name__", "")).startswith("allocator."):
            faults.touch("import")
        return load(name, globals, *others, **named)

    os.write, os.fsync, builtins.__import__ = counted_write, counted_fsync, counted_import
    sys.addaudithook(faults.audited)


@dataclass(frozen=True)
class Ended:
    """How a child ended. ``result`` is what the action gave; None where it was killed or raised."""

    killed: bool
    hit: str
    count: int
    error: str
    result: object


def run(action: Callable[[], object], fault: str, n: int, *, began: Callable[[Callable[[], None]], None] | None = None):
    """Run an action in a child, with a fault at its n-th touch.

    ``began`` is given what switches the counting on; without it everything is counted.
    """
    with tempfile.TemporaryFile() as stream:
        child = os.fork()
        if child == 0:
            _child(action, fault, n, began, stream.fileno())
        _, status = os.waitpid(child, 0)
        stream.seek(0)
        text = stream.read().decode()
    if os.WIFSIGNALED(status):
        assert fault == "kill", f"killed by signal {os.WTERMSIG(status)}"
        return Ended(True, "kill", n, "", None)
    return Ended(False, **json.loads(text))


def _child(action, fault, n, began, handle) -> None:
    write, error, result = os.write, "", None
    faults = _Faults(fault, n)
    try:
        if began is not None:
            faults.on = False
            began(lambda: setattr(faults, "on", True))
        _watched(faults)
        result = action()
    except BaseException as raised:
        error = f"{type(raised).__name__}: {raised}"
    faults.on = False
    body = {"hit": faults.hit, "count": faults.count, "error": error, "result": result}
    write(handle, json.dumps(body).encode())
    os._exit(0)


def every(action, fault, prepare: Callable[[], Path], **named):
    """Yield, for n = 1, 2, 3 and on until the action touches no more, what was prepared and how the child ended."""
    n = 0
    while True:
        n += 1
        place = prepare()
        ended = run(lambda place=place: action(place), fault, n, **named)
        if not ended.killed and not ended.hit:
            assert not ended.error, ended.error
            return
        yield n, place, ended
