"""JSON read strictly: nothing in it is ignored, and nothing is read that could not be written again."""

from __future__ import annotations

import json
import re
from typing import Any

_HALF_LETTER = re.compile(r"\\u[dD][89a-fA-F]")


class StrictJsonError(ValueError):
    """Text that is not JSON, or JSON of which a part would be lost; the text says what would do."""


def parsed(text: str) -> Any:
    """The value that JSON text stands for.

    Raises
    ------
    StrictJsonError
        Where it is not JSON, where a key appears twice in one object, where a number is not finite, where text holds
        half a letter, and where it is nested without end.
    """
    try:
        data = json.loads(text, object_pairs_hook=_once, parse_constant=_not_finite)
    except json.JSONDecodeError as error:
        raise StrictJsonError(f"line {error.lineno}: not JSON ({error.msg})") from None
    except StrictJsonError:
        raise
    except (ValueError, RecursionError):
        raise StrictJsonError("layout: not JSON that can be read") from None
    if _HALF_LETTER.search(text):
        _ensure_whole_letters(text, data)
    return data


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in pairs:
        if key in found:
            raise StrictJsonError(f"layout: '{key[:60]}' appears twice in one object, and one would be ignored")
        found[key] = value
    return found


def _not_finite(name: str) -> Any:
    raise StrictJsonError(f"layout: {name} is not a number in JSON")


def _ensure_whole_letters(text: str, data: Any) -> None:
    """Raise where an escape is half of a pair: such text cannot be written into any file."""
    try:
        json.dumps(data, ensure_ascii=False).encode()
    except UnicodeEncodeError:
        line = next((n for n, one in enumerate(text.splitlines(), start=1) if _HALF_LETTER.search(one)), 1)
        raise StrictJsonError(f"line {line}: an escape such as \\ud800 is half a letter") from None
    except (ValueError, RecursionError):
        raise StrictJsonError("layout: not JSON that can be read") from None
