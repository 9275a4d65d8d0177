"""Text for files that are XML inside: drawings, sheets of a workbook."""

from __future__ import annotations

import re

UNFIT = re.compile("[\\x00-\\x08\\x0b\\x0c\\x0e-\\x1f\\ud800-\\udfff\\ufffe\\uffff]")
"""What XML cannot hold (XML 1.0, 2.2): a user's table or a layout by hand may have it in a name."""


def fit_for_xml(text: str) -> str:
    """A text with '?' for every character that XML cannot hold."""
    return UNFIT.sub("?", text)
