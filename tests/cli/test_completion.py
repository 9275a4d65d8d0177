"""Completion by a shell: asked of the installed command, as the shell asks it."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

COMMAND = Path(sys.executable).with_name("allocator")


def asked(**asks):
    """What the command prints to the shell."""
    return subprocess.run([COMMAND], env={**os.environ, **asks}, capture_output=True, text=True, check=True).stdout


@pytest.mark.parametrize(
    ("words", "offered"), [("allocator tra", "tradeoff"), ("allocator report --cut", "--cut-step")]
)
def test_a_shell_is_offered_what_begins_so(words, offered):
    number = str(len(words.split()) - 1)
    out = asked(_ALLOCATOR_COMPLETE="complete_bash", COMP_WORDS=words, COMP_CWORD=number)
    assert out.split() == [offered]


def test_bash_is_told_whom_to_ask():
    script = asked(_ALLOCATOR_COMPLETE="source_bash")
    assert "complete -o default -F _allocator_completion allocator" in script
