"""Names that are nearly right."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches


def key_of(name: str) -> str:
    """A name as it is compared: case, spaces, hyphens and underscores do not matter."""
    return "_".join(name.casefold().replace("-", " ").replace("_", " ").split())


def near_miss(name: str, known: Iterable[str], cutoff: float = 0.8) -> str | None:
    """The known name that ``name`` is nearly, if any."""
    keys = {key_of(word): word for word in known}
    close = get_close_matches(key_of(name), keys, n=1, cutoff=cutoff)
    return keys[close[0]] if close else None


def suggestion(name: str, known: Iterable[str], kind: str) -> str:
    """A remedy for an unknown name: the nearest known one, or the first few there are."""
    names = sorted(set(known))
    near = near_miss(name, names, cutoff=0.6)
    if near is not None:
        return f"Write '{near}' if that is meant"
    if not names:
        return f"There is no {kind} to name: add it, or leave this empty"
    listed = ", ".join(f"'{word}'" for word in names[:6])
    more = f" and {len(names) - 6} more" if len(names) > 6 else ""
    return (
        f"Name one of the {len(names)} there are: {listed}{more}" if len(names) > 1 else f"The only {kind} is {listed}"
    )
