"""How wide a text is drawn, without the library that draws it."""

from __future__ import annotations

from unicodedata import combining, east_asian_width

# of DejaVu Sans 2.37, blank to tilde, in 2048ths of the size of the letters
_ADVANCES = (
    651, 821, 942, 1716, 1303, 1946, 1597, 563, 799, 799, 1024, 1716, 651, 739, 651, 690, 1303, 1303, 1303, 1303, 1303,
    1303, 1303, 1303, 1303, 1303, 690, 690, 1716, 1716, 1716, 1087, 2048, 1401, 1405, 1430, 1577, 1294, 1178, 1587,
    1540, 604, 604, 1343, 1141, 1767, 1532, 1612, 1235, 1612, 1423, 1300, 1251, 1499, 1401, 2025, 1403, 1251, 1403,
    799, 690, 799, 1716, 1024, 1024, 1255, 1300, 1126, 1300, 1260, 721, 1300, 1298, 569, 569, 1186, 569, 1995, 1298,
    1253, 1300, 1300, 842, 1067, 803, 1298, 1212, 1675, 1212, 1212, 1075, 1303, 690, 1303, 1716,
)  # fmt: skip
_WIDTH = {chr(32 + n): advance / 2048.0 for n, advance in enumerate(_ADVANCES)} | {"…": 1.0}
OTHER = 0.65
"""Width of any other letter: that of most accented, Greek and Cyrillic ones is 0.6 to 0.7."""

MIDDLE, MIDDLE_OF_FIGURES = 0.27, 0.365
"""How far the base of a line lies below its middle, as a share of the size of the letters."""


def width_of(text: str, size: float) -> float:
    """Width of a text in letters of a size, in the unit of the size."""
    return size * sum(_width(letter) for letter in text)


def _width(letter: str) -> float:
    if letter in _WIDTH:
        return _WIDTH[letter]
    if combining(letter):
        return 0.0
    return 1.0 if east_asian_width(letter) in "WF" else OTHER
