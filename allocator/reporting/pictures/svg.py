"""A drawing as SVG that stands inside a page, its letters as text: the same drawing gives the same text."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from html import escape
from itertools import groupby

from allocator.reporting.pictures.drawing import Drawing, Line, Outline, Part, Point, Words
from allocator.reporting.pictures.marks import PAPER
from allocator.reporting.xml import fit_for_xml

FONTS = "'DejaVu Sans', Verdana, Geneva, Arial, Helvetica, sans-serif"

Attributes = Mapping[str, str]


def svg(drawing: Drawing, salt: str, named: Mapping[str, Attributes], **root: str) -> str:
    """A drawing as an ``svg`` element.

    Parameters
    ----------
    salt
        Different for each drawing of a page, so that no id appears twice.
    named
        Attributes for the parts with these ids; all other parts are hidden from those who cannot see them.
    root
        Attributes of the whole drawing.
    """
    whole = {
        "xmlns": "http://www.w3.org/2000/svg",
        "viewBox": f"0 0 {_figure(drawing.width)} {_figure(drawing.height)}",
        "font-family": FONTS,
        **{key.rstrip("_").replace("_", "-"): value for key, value in root.items()},
    }
    paper = f'<rect width="100%" height="100%" fill="{PAPER}" aria-hidden="true"/>'
    parts = "\n".join(_parts(drawing, salt, named))
    return f'<svg{_written(whole)}>{paper}\n<g class="parts">\n{parts}\n</g></svg>'


def _parts(drawing: Drawing, salt: str, named: Mapping[str, Attributes]) -> Iterator[str]:
    """Every part; neighbours without a name share a group."""
    for name, group in groupby(drawing.parts(), key=lambda one: one[0] if one[0] in named else ""):
        own = {"id": f"{salt}-{name}", **named[name]} if name else {"aria-hidden": "true"}
        yield f"<g{_written(own)}>{''.join(_element(part) for _, part in group)}</g>"


def _element(part: Part) -> str:
    if isinstance(part, Words):
        return _text(part)
    if isinstance(part, Line):
        drawn = {"d": f"M{_path(part.points)}", "fill": "none", "stroke": part.colour}
        dash = {"stroke-dasharray": " ".join(map(_figure, part.dash))} if part.dash else {}
        cap = {"stroke-linecap": part.cap} if part.cap != "butt" else {}
        return f"<path{_written({**drawn, 'stroke-width': _figure(part.width), **dash, **cap})}/>"
    inked = {"fill": part.fill, "stroke": part.edge, "stroke-width": _figure(part.width)}
    if isinstance(part, Outline):
        return f"<path{_written({'d': f'M{_path(part.points)}z', **inked})}/>"
    round_ = {"cx": _figure(part.at[0]), "cy": _figure(part.at[1]), "r": _figure(part.radius)}
    return f"<circle{_written({**round_, **inked})}/>"


def _text(words: Words) -> str:
    x, y = map(_figure, words.at)
    own = {"transform": f"translate({x} {y}) rotate(-90)"} if words.turned else {"x": x, "y": y}
    own |= {"font-size": _figure(words.size), "fill": words.colour}
    own |= {"text-anchor": words.anchor} if words.anchor != "start" else {}
    own |= {"font-weight": "bold"} if words.bold else {}
    own |= {"font-style": "italic"} if words.italic else {}
    return f"<text{_written(own)}>{escape(fit_for_xml(words.text), quote=False)}</text>"


def _path(points: tuple[Point, ...]) -> str:
    return "L".join(f"{_figure(x)} {_figure(y)}" for x, y in points)


def _figure(value: float) -> str:
    """A length to a hundredth of a point, without zeros at its end."""
    return f"{value:.2f}".rstrip("0").rstrip(".")


def _written(attributes: Attributes) -> str:
    return "".join(f' {name}="{escape(fit_for_xml(value))}"' for name, value in attributes.items())
