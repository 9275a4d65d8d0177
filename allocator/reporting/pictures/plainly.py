"""How letters are drawn: a user's name is text, whatever marks it holds."""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def plainly() -> Iterator[None]:
    """While this lasts, dollar signs are no formulas, and a letter that the font lacks is drawn as a box in silence."""
    from matplotlib import rc_context

    with rc_context({"text.parse_math": False}), warnings.catch_warnings():
        warnings.filterwarnings("ignore", "Glyph .* missing from (current )?font", UserWarning)
        warnings.filterwarnings("ignore", "Matplotlib currently does not support .* natively", UserWarning)
        yield
