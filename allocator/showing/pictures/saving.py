"""Figures as text of a page and as files: the same layout gives the same picture, byte for byte."""

from __future__ import annotations

import re
from collections.abc import Mapping
from io import BytesIO, StringIO
from pathlib import Path
from typing import TYPE_CHECKING
from xml.etree import ElementTree

from allocator.showing.pictures.plainly import plainly
from allocator.writing.sealed import write_sealed

if TYPE_CHECKING:
    from matplotlib.figure import Figure

SVG, XLINK = "http://www.w3.org/2000/svg", "http://www.w3.org/1999/xlink"
PNG_DPI = 144
UNFIT = re.compile("[\\x00-\\x08\\x0b\\x0c\\x0e-\\x1f\\ud800-\\udfff\\ufffe\\uffff]")
"""What XML cannot hold (XML 1.0, 2.2): a layout by hand may have it in a name."""


def write(figure: Figure, path: Path) -> None:
    """Draw a figure into a PNG or SVG file, as the ending of its name says; whole or not at all.

    Raises
    ------
    OutputError
        When there is a file that was not drawn here, or was edited since.
    OSError
        When the file cannot be written.
    """
    from matplotlib import rc_context

    kind = path.suffix.lower().removeprefix(".")
    stream = BytesIO()
    # no date in the file and no random names
    with plainly(), rc_context({"svg.hashsalt": "allocator"}):
        figure.savefig(stream, format=kind, dpi=PNG_DPI, metadata={"Date": None} if kind == "svg" else None)
    write_sealed(path, stream.getvalue())


def svg(figure: Figure, salt: str, named: Mapping[str, Mapping[str, str]], **root: str) -> str:
    """A figure as SVG that stands inside a page, its letters as text.

    Parameters
    ----------
    salt
        Different for each figure of a page, so that no id stands twice.
    named
        Attributes for the parts with these ids; all other parts are hidden from those who cannot see them.
    root
        Attributes of the whole drawing.
    """
    from matplotlib import rc_context

    stream = StringIO()
    with plainly(), rc_context({"svg.hashsalt": salt, "svg.fonttype": "none"}):
        figure.savefig(stream, format="svg", metadata={"Date": None, "Creator": None, "Format": None, "Type": None})
    ElementTree.register_namespace("", SVG)
    ElementTree.register_namespace("xlink", XLINK)
    tree = ElementTree.fromstring(UNFIT.sub("?", stream.getvalue()))
    for metadata in tree.findall(f"{{{SVG}}}metadata"):
        tree.remove(metadata)
    for part in tree.iter():
        _renamed(part, salt)
    _silenced(tree, {f"{salt}-{gid}" for gid in named})
    for group in tree.iter(f"{{{SVG}}}g"):
        own = named.get((group.get("id") or "").removeprefix(f"{salt}-"))
        if own is not None:
            group.attrib.update(own)
    for key in ("width", "height"):
        tree.attrib.pop(key, None)
    tree.attrib.update({key.rstrip("_").replace("_", "-"): value for key, value in root.items()})
    return ElementTree.tostring(tree, encoding="unicode")


def _silenced(part: ElementTree.Element, kept: set[str]) -> bool:
    """Hide from screen readers every group that holds no named part; tell whether the part holds any."""
    if part.get("id") in kept:
        return True
    holds = [_silenced(child, kept) for child in part if child.tag == f"{{{SVG}}}g"]
    if not any(holds) and part.tag == f"{{{SVG}}}g":
        part.set("aria-hidden", "true")
    return any(holds)


def _renamed(part: ElementTree.Element, salt: str) -> None:
    """Every id, and every mention of one, with the salt before it."""
    if "id" in part.attrib:
        part.set("id", f"{salt}-{part.get('id')}")
    link = f"{{{XLINK}}}href"
    if part.get(link, "").startswith("#"):
        part.set(link, f"#{salt}-{part.attrib[link][1:]}")
    clip = part.get("clip-path", "")
    if clip.startswith("url(#"):
        part.set("clip-path", f"url(#{salt}-{clip[5:]}")
