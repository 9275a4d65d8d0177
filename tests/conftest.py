"""What holds for all tests."""

from __future__ import annotations

import os
import shutil
import signal
from pathlib import Path

import pytest

from tests.solved import share

for _signal in (signal.SIGINT, getattr(signal, "SIGHUP", signal.SIGINT)):
    if signal.getsignal(_signal) is signal.SIG_IGN:
        # a shell without job control lets what it starts in the background ignore Ctrl-C, nohup lets it ignore a
        # hangup: the command then rightly does so too, and its tests send it
        signal.signal(_signal, signal.default_int_handler if _signal is signal.SIGINT else signal.SIG_DFL)


_MEMORY, _ENOUGH = Path("/dev/shm"), 1 << 30
if os.access(_MEMORY, os.W_OK) and shutil.disk_usage(_MEMORY).free > _ENOUGH:
    # results are flushed to the disk file by file, which takes longer than to make them: in memory nobody waits
    os.environ.setdefault("PYTEST_DEBUG_TEMPROOT", str(_MEMORY))


@pytest.fixture(scope="session", autouse=True)
def _processes_share_layouts(tmp_path_factory: pytest.TempPathFactory) -> None:
    """Each process of pytest-xdist has a folder of its own in one that is new with every run."""
    if "PYTEST_XDIST_WORKER" in os.environ:
        share(tmp_path_factory.getbasetemp().parent)


LARGE = ("crop-sprayer", "pilot-boat", "clinic-van")
"""Demonstration problems that take seconds to solve."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """All tests of one large problem run in one worker, which solves it once."""
    for item in items:
        for name in LARGE:
            if item.nodeid.endswith(f"[{name}]"):
                item.add_marker(pytest.mark.xdist_group(name))
