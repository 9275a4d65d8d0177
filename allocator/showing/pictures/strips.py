"""Each unit as a strip of its outputs: what each carries in every condition, as a share of its rating."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import TYPE_CHECKING

from allocator.showing.loaded import USED, LoadedOutput
from allocator.showing.pictures.labelling import cut
from allocator.showing.pictures.marks import FAINT, INK, PAPER, QUIET, RED, shades
from allocator.showing.pictures.plainly import plainly

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

WIDE, NARROW = 1180.0, 372.0
BARS, NAMES, HEAD, FOOT = 120.0, 146.0, 44.0, 4.0  # heights in points: bars, names below, headings above
ROW, TITLE, KEY = 26.0, 20.0, 78.0
LONGEST = 25
TOP = 1.08


@plainly()
def strip(outputs: Sequence[LoadedOutput], conditions: Sequence[str], *, narrow: bool = False) -> Figure:
    """The outputs of one unit abreast, or below each other where ``narrow``."""
    if narrow:
        figure = _figure(NARROW, KEY + ROW * len(outputs) + TITLE * len(_groups(outputs)))
        _lying(figure, outputs, conditions)
        return figure
    figure = _figure(WIDE, HEAD + BARS + NAMES + FOOT)
    _upright(figure, outputs, conditions, 0.0)
    return figure


@plainly()
def strips(units: Sequence[tuple[str, Sequence[LoadedOutput]]], conditions: Sequence[str]) -> Figure:
    """All units below each other, each under a title: for a file."""
    each = TITLE + HEAD + BARS + NAMES + FOOT
    figure = _figure(WIDE, max(each * len(units), each))
    height = each * max(len(units), 1)
    for n, (title, outputs) in enumerate(units):
        top = height - each * n
        figure.text(12.0 / WIDE, (top - 12.0) / height, title, fontsize=12.0, fontweight="bold", color=INK, va="center")
        _upright(figure, outputs, conditions, height - each * (n + 1))
    return figure


def _figure(width: float, height: float) -> Figure:
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=(width / 72.0, height / 72.0), dpi=72, facecolor=PAPER)
    FigureCanvasAgg(figure)
    return figure


def _groups(outputs: Sequence[LoadedOutput]) -> list[tuple[str, list[LoadedOutput]]]:
    """Neighbouring outputs of one class and bank, with a heading."""
    grouped = groupby(outputs, key=lambda one: (one.bank, one.output_class, one.rating_a))
    return [
        (f"{'' if bank is None else f'{bank}, '}{kind}: {rating:.3g} A each", list(members))
        for (bank, kind, rating), members in grouped
    ]


def _axes(figure: Figure, left: float, bottom: float, width: float, height: float) -> Axes:
    """Axes at a place in points, without a frame."""
    total_w, total_h = (inch * 72.0 for inch in figure.get_size_inches())
    axes = figure.add_axes((left / total_w, bottom / total_h, width / total_w, height / total_h))
    axes.set_frame_on(False)
    axes.tick_params(length=0.0, labelsize=8.5, labelcolor=QUIET)
    return axes


def _shares(one: LoadedOutput) -> list[float]:
    return [current / one.rating_a if one.rating_a > 0.0 else float(current > 0.0) for current in one.current_a]


def _top(outputs: Sequence[LoadedOutput]) -> float:
    """How far the axis reaches: to the rating, further where more is drawn."""
    full = [one.full_a / one.rating_a for one in outputs if one.rating_a > 0.0]
    return max([TOP, *(1.05 * share for share in (*full, *(share for one in outputs for share in _shares(one))))])


def _short(text: str) -> str:
    """A name cut to what there is room for; which of how many outputs it is stays."""
    name, of, which = text.partition(" (") if text.endswith(")") else (text, "", "")
    room = LONGEST - len(of) - len(which)
    return f"{cut(name, room)}{of}{which}"


def _said(one: LoadedOutput) -> str:
    return _short(one.feeds) if one.state == USED else f"({one.state})"


def _upright(figure: Figure, outputs: Sequence[LoadedOutput], conditions: Sequence[str], bottom: float) -> None:
    """Bars standing side by side, one group an output: one bar a condition, in the order of the conditions."""
    from matplotlib.ticker import PercentFormatter

    top = _top(outputs)
    axes = _axes(figure, 46.0, bottom + FOOT + NAMES, WIDE - 54.0, BARS)
    axes.set(xlim=(-0.5, len(outputs) - 0.5), ylim=(0.0, top))
    axes.yaxis.set_major_formatter(PercentFormatter(1.0, decimals=0))
    axes.grid(axis="y", color=FAINT, linewidth=0.6)
    axes.set_axisbelow(True)
    width = 0.8 / len(conditions)
    for m, shade in enumerate(shades(conditions)):
        at = [n - 0.4 + width * (m + 0.5) for n in range(len(outputs))]
        axes.bar(at, [_shares(one)[m] for one in outputs], width * 0.92, color=shade, edgecolor=INK, linewidth=0.3)
    for n, one in enumerate(outputs):
        may, full = (amperes / one.rating_a if one.rating_a > 0.0 else 0.0 for amperes in (one.allowed_a, one.full_a))
        axes.hlines(may, n - 0.45, n + 0.45, color=RED, linewidth=1.4, linestyle=(0, (4, 1.5)))
        if one.state == USED:
            axes.plot([n - 0.4, n + 0.4], [full, full], color=INK, linewidth=1.8)
    axes.set_xticks(range(len(outputs)), [f"{one.pin}  {_said(one)}" for one in outputs], rotation=90, fontsize=8.5)
    for label, one in zip(axes.get_xticklabels(), outputs, strict=True):
        label.set_color(INK if one.state == USED else QUIET)
    first = 0
    for n, (text, members) in enumerate(_groups(outputs)):
        if n:
            axes.axvline(first - 0.5, color=QUIET, linewidth=0.8)
        room = len(members) * (WIDE - 54.0) / len(outputs)
        shown = text if len(text) * 5.0 < room else text.replace(" each", "").replace(": ", "\n")
        axes.text(first - 0.42, top, shown, fontsize=8.5, color=INK, va="bottom", linespacing=1.0)
        first += len(members)
    edge = bottom + FOOT + NAMES + BARS + HEAD
    corner = (1.0 - 8.0 / WIDE, edge / (figure.get_figheight() * 72.0))
    _key(figure, conditions, corner, len(conditions) + 2)


def _key(figure: Figure, conditions: Sequence[str], corner: tuple[float, float], columns: int) -> None:
    """What shades and lines mean, its upper right corner at a place of the figure."""
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

    shaded = zip(conditions, shades(conditions), strict=True)
    bars = [Patch(facecolor=hue, edgecolor=INK, linewidth=0.3, label=cut(name)) for name, hue in shaded]
    may = Line2D([], [], color=RED, linewidth=1.4, linestyle=(0, (4, 1.5)), label="may be used")
    full = Line2D([], [], color=INK, linewidth=1.8, label="full current")
    figure.legend(handles=[*bars, may, full], loc="upper right", bbox_to_anchor=corner, ncols=columns, frameon=False,
                  fontsize=8.5, handlelength=1.6, columnspacing=1.4, borderaxespad=0.2)  # fmt: skip


def _lying(figure: Figure, outputs: Sequence[LoadedOutput], conditions: Sequence[str]) -> None:
    """Bars lying below each other, one group an output, with what it feeds in words beside."""
    from matplotlib.ticker import MaxNLocator, PercentFormatter

    height = figure.get_figheight() * 72.0
    axes = _axes(figure, 168.0, 0.0, NARROW - 178.0, height - KEY)
    axes.set(xlim=(0.0, _top(outputs)), ylim=(height - KEY, 0.0))
    axes.xaxis.set_major_locator(MaxNLocator(3, steps=[1, 2.5, 5, 10]))
    axes.xaxis.set_major_formatter(PercentFormatter(1.0, decimals=0))
    axes.xaxis.tick_top()
    axes.grid(axis="x", color=FAINT, linewidth=0.6)
    axes.set_axisbelow(True)
    axes.set_yticks([])
    y, thick = 0.0, (ROW - 7.0) / len(conditions)
    hues = shades(conditions)
    left = axes.get_yaxis_transform()
    for text, members in _groups(outputs):
        axes.text(-0.83, y + TITLE / 2.0 + 2.0, text, fontsize=8.5, fontweight="bold", va="center", transform=left)
        y += TITLE
        for one in members:
            for m, share in enumerate(_shares(one)):
                axes.barh(y + 3.5 + thick * (m + 0.5), share, thick * 0.92, color=hues[m], edgecolor=INK, linewidth=0.3)
            may, full = (a / one.rating_a if one.rating_a > 0.0 else 0.0 for a in (one.allowed_a, one.full_a))
            axes.vlines(may, y + 1.5, y + ROW - 1.5, color=RED, linewidth=1.4, linestyle=(0, (4, 1.5)))
            if one.state == USED:
                axes.vlines(full, y + 3.0, y + ROW - 3.0, color=INK, linewidth=1.8)
            shown = INK if one.state == USED else QUIET
            axes.text(-0.83, y + ROW / 2.0, one.pin, fontsize=8.0, va="center", color=shown, transform=left)
            axes.text(-0.68, y + ROW / 2.0, _said(one), fontsize=8.0, va="center", color=shown, transform=left)
            y += ROW
    axes.axvline(0.0, color=QUIET, linewidth=0.8)
    _key(figure, conditions, (1.0, 1.0), 2 if len(conditions) < 5 else 3)
