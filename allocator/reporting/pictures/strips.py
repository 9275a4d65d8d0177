"""Each unit as a strip of its outputs: what each carries in every condition, as a share of its rating."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from allocator.reporting.loaded import USED, LoadedOutput
from allocator.reporting.pictures.drawing import Drawing, Line, Outline, Words, box
from allocator.reporting.pictures.labelling import cut
from allocator.reporting.pictures.letters import MIDDLE, width_of
from allocator.reporting.pictures.marks import FAINT, INK, QUIET, RED, shades
from allocator.reporting.pictures.ticks import ticks

WIDE, NARROW = 1180.0, 372.0
BARS, NAMES, HEAD, FOOT = 120.0, 146.0, 44.0, 4.0  # heights in points: bars, names below, headings above
ROW, TITLE, KEY = 26.0, 20.0, 78.0
LEFT, RIGHT = 46.0, 8.0  # beside the bars of a wide one
PINS, NAMED, SHARES = 7.0, 36.0, 168.0  # where they begin in a narrow one
SIZE = 8.5  # of letters
LONGEST = 25
TOP = 1.08
DASH = (5.6, 2.1)


def strip(outputs: Sequence[LoadedOutput], conditions: Sequence[str], *, narrow: bool = False) -> Drawing:
    """The outputs of one unit abreast, or below each other where ``narrow``."""
    if narrow:
        drawing = Drawing(NARROW, KEY + ROW * len(outputs) + TITLE * len(_groups(outputs)))
        _lying(drawing, outputs, conditions)
        return drawing
    drawing = Drawing(WIDE, HEAD + BARS + NAMES + FOOT)
    _upright(drawing, outputs, conditions, 0.0)
    return drawing


def strips(units: Sequence[tuple[str, Sequence[LoadedOutput]]], conditions: Sequence[str]) -> Drawing:
    """All units below each other, each under a title: for a file."""
    each = TITLE + HEAD + BARS + NAMES + FOOT
    drawing = Drawing(WIDE, max(each * len(units), each))
    for n, (title, outputs) in enumerate(units):
        drawing.add(Words((12.0, each * n + 12.0 + MIDDLE * 12.0), title, 12.0, INK, bold=True))
        _upright(drawing, outputs, conditions, each * n + TITLE)
    return drawing


def _groups(outputs: Sequence[LoadedOutput]) -> list[tuple[str, str, list[LoadedOutput]]]:
    """Neighbouring outputs of one class and bank, with what they are and the rating of each."""
    grouped = groupby(outputs, key=lambda one: (one.bank, one.output_class, one.rating_a))
    return [
        (kind if bank is None else f"{bank}, {kind}", f"{rating:.3g} A", list(members))
        for (bank, kind, rating), members in grouped
    ]


def _shares(one: LoadedOutput) -> list[float]:
    return [current / one.rating_a if one.rating_a > 0.0 else float(current > 0.0) for current in one.current_a]


def _bars(one: LoadedOutput) -> list[tuple[int, float]]:
    """Number of the condition and share, where there is anything to draw."""
    return [(m, share) for m, share in enumerate(_shares(one)) if share > 0.0]


def _top(outputs: Sequence[LoadedOutput]) -> float:
    """How far the axis reaches: to the rating, further where more is drawn."""
    full = [one.full_a / one.rating_a for one in outputs if one.rating_a > 0.0]
    return max([TOP, *(1.05 * share for share in (*full, *(share for one in outputs for share in _shares(one))))])


def _said(one: LoadedOutput) -> str:
    """What it feeds, cut to what there is room for; which of how many outputs it is stays."""
    if one.state != USED:
        return f"({one.state})"
    return f"{cut(one.loads, LONGEST - len(one.which))}{one.which}"


def _upright(drawing: Drawing, outputs: Sequence[LoadedOutput], conditions: Sequence[str], above: float) -> None:
    """Bars standing side by side, one group an output: one bar a condition, in the order of the conditions."""
    top, hues = _top(outputs), shades(conditions)
    base, each = above + HEAD + BARS, (WIDE - LEFT - RIGHT) / max(1, len(outputs))
    for share in ticks(0.0, top, 6):
        y = base - BARS * share / top
        drawing.add(Line(((LEFT, y), (WIDE - RIGHT, y)), FAINT, 0.6))
        drawing.add(Words((LEFT - 3.5, y + MIDDLE * SIZE), f"{share:.0%}", SIZE, QUIET, "end"))
    width = 0.8 * each / len(conditions)
    for n, one in enumerate(outputs):
        middle = LEFT + each * (n + 0.5)
        for m, share in _bars(one):
            tall = BARS * share / top
            left = middle - 0.4 * each + width * (m + 0.04)
            drawing.add(Outline(box(left, base - tall, 0.92 * width, tall), hues[m], INK, 0.3), 1.0)
        may, full = (base - BARS * share / top for share in _limits(one))
        drawing.add(Line(((middle - 0.45 * each, may), (middle + 0.45 * each, may)), RED, 1.4, DASH), 2.0)
        if one.state == USED:
            drawing.add(Line(((middle - 0.42 * each, full), (middle + 0.42 * each, full)), INK, 1.8), 2.0)
        shown = INK if one.state == USED else QUIET
        name = (middle + MIDDLE * SIZE, base + 3.5)
        drawing.add(Words(name, f"{one.pin}  {_said(one)}", SIZE, shown, "end", turned=True), 2.0)
    _headings(drawing, outputs, base, each)
    _key(drawing, conditions, (WIDE - RIGHT, above), len(conditions) + 2)


def _headings(drawing: Drawing, outputs: Sequence[LoadedOutput], base: float, each: float) -> None:
    """What the outputs of each group are, above their bars; a line parts groups."""
    first = 0
    for n, (what, rating, members) in enumerate(_groups(outputs)):
        edge, room = LEFT + each * first, len(members) * each
        if n:
            drawing.add(Line(((edge, base), (edge, base - BARS)), QUIET, 0.8), 2.0)
        text = f"{what}: {rating} each"
        shown = [text] if len(text) * 5.0 < room else [what, rating]
        for k, line in enumerate(reversed(shown)):
            drawing.add(Words((edge + 0.08 * each, base - BARS - 2.0 - 10.0 * k), line, SIZE, INK), 2.0)
        first += len(members)


def _key(drawing: Drawing, conditions: Sequence[str], corner: tuple[float, float], columns: int) -> None:
    """What shades and lines mean, column by column, its upper right corner at a place of the drawing."""
    names = [*map(cut, conditions), "may be used", "full current"]
    high = -(-len(names) // columns)
    by_column = [names[n : n + high] for n in range(0, len(names), high)]
    widths = [max(width_of(name, SIZE) for name in column) + 20.4 for column in by_column]
    x = corner[0] - sum(widths) - 12.0 * (len(widths) - 1)
    drawn = dict(zip(range(len(conditions)), shades(conditions), strict=True))
    for k, column in enumerate(by_column):
        for n, name in enumerate(column):
            which, y = k * high + n, corner[1] + 9.0 + 12.5 * n
            if which in drawn:
                drawing.add(Outline(box(x, y - 3.0, 13.6, 6.0), drawn[which], INK, 0.3), 2.0)
            elif which == len(conditions):
                drawing.add(Line(((x, y), (x + 13.6, y)), RED, 1.4, DASH), 2.0)
            else:
                drawing.add(Line(((x - 0.9, y), (x + 14.5, y)), INK, 1.8), 2.0)
            drawing.add(Words((x + 20.4, y + MIDDLE * SIZE), name, SIZE, INK), 2.0)
        x += widths[k] + 12.0


def _lying(drawing: Drawing, outputs: Sequence[LoadedOutput], conditions: Sequence[str]) -> None:
    """Bars lying below each other, one group an output, with what it feeds in words beside."""
    scale = (NARROW - SHARES - 10.0) / _top(outputs)
    for share in ticks(0.0, _top(outputs), 3):
        x = SHARES + scale * share
        drawing.add(Line(((x, KEY), (x, drawing.height)), FAINT, 0.6))
        drawing.add(Words((x, KEY - 5.5), f"{share:.0%}", SIZE, QUIET, "middle"))
    y, hues = KEY, shades(conditions)
    for what, rating, members in _groups(outputs):
        text = f"{what}: {rating} each"
        drawing.add(Words((PINS, y + TITLE / 2.0 + 2.0 + MIDDLE * SIZE), text, SIZE, INK, bold=True), 2.0)
        y += TITLE
        for one in members:
            _row(drawing, one, y, hues, scale)
            y += ROW
    drawing.add(Line(((SHARES, KEY), (SHARES, drawing.height)), QUIET, 0.8), 2.0)
    _key(drawing, conditions, (NARROW - 2.0, 0.0), 2 if len(conditions) < 5 else 3)


def _row(drawing: Drawing, one: LoadedOutput, y: float, hues: Sequence[str], scale: float) -> None:
    """One output of a narrow strip, below ``y``; ``scale`` is points a share of 1."""
    thick = (ROW - 7.0) / len(hues)
    for m, share in _bars(one):
        bar = box(SHARES, y + 3.5 + thick * (m + 0.04), scale * share, 0.92 * thick)
        drawing.add(Outline(bar, hues[m], INK, 0.3), 1.0)
    may, full = (SHARES + scale * share for share in _limits(one))
    drawing.add(Line(((may, y + 1.5), (may, y + ROW - 1.5)), RED, 1.4, DASH), 2.0)
    if one.state == USED:
        drawing.add(Line(((full, y + 3.0), (full, y + ROW - 3.0)), INK, 1.8), 2.0)
    shown, base = INK if one.state == USED else QUIET, y + ROW / 2.0 + MIDDLE * 8.0
    drawing.add(Words((PINS, base), one.pin, 8.0, shown), 2.0)
    drawing.add(Words((NAMED, base), _said(one), 8.0, shown), 2.0)


def _limits(one: LoadedOutput) -> tuple[float, float]:
    """What may be used and what is drawn in full, as shares of the rating."""
    may, full = (amperes / one.rating_a if one.rating_a > 0.0 else 0.0 for amperes in (one.allowed_a, one.full_a))
    return may, full
