"""TOML as people write it: inline tables over several lines, which version 1.0 of the format does not have."""

from __future__ import annotations

import re
import tomllib
from typing import Any

_TOKEN = re.compile(
    r'"""(?:\\.|[^\\])*?"""'  # text over several lines
    r"|'''.*?'''"
    r'|"(?:\\.|[^"\\\n])*"'
    r"|'[^'\n]*'"
    r"|\#[^\n]*"
    r"|[^\"'\#{}\n]+"
    r"|.",
    re.DOTALL,
)


def parsed(text: str) -> dict[str, Any]:
    """Parse TOML 1.0, and inline tables that span lines, hold remarks or end in a comma besides.

    Raises
    ------
    ValueError, RecursionError
        Where it is not TOML; the line in the message is that of the text as it stands.
    """
    try:
        return tomllib.loads(text)
    except ValueError as error:
        try:
            return tomllib.loads(_on_one_line(text.replace("\r\n", "\n")))
        except ValueError:
            raise error from None


def _on_one_line(text: str) -> str:
    """The text with each inline table on one line."""
    out: list[str] = []
    depth = 0
    for token in _TOKEN.findall(text):
        if token == "{":
            depth += 1
        elif token == "}":
            depth -= 1
            while out and not out[-1].strip():
                out.pop()
            if out and depth >= 0:
                out[-1] = out[-1].rstrip().removesuffix(",")
        if depth > 0 and (token == "\n" or token.startswith("#")):
            out.append(" ")
        else:
            out.append(token)
    return "".join(out)
