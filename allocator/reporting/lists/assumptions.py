"""What the lists rest on: broken rules first, then what is proven, how to read the lists, defaults and cautions."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from allocator.reporting.cautions import caution_texts
from allocator.reporting.lists.build import Build
from allocator.reporting.lists.listing import listing
from allocator.reporting.proof import sentence
from allocator.table import Table, text

COLUMNS = (text("kind"), text("text"))

BROKEN = "BROKEN RULE"

LABELS = (
    "A label says what stays with a wire: at an output unit and pin; further pieces of a shared output the same and "
    "the load, or the place of the splice; a return its load and 'return'; 'feed' and the unit; 'direct' and a load "
    "fused at its source; 'given', the name and the number of the core. Pieces that a connector parts have /a, /b "
    "... at the end, from the start of the wire. A wire that stays in a revision keeps its label."
)


def assumptions(build: Build, others: Iterable[Table]) -> Table:
    """One sentence a row; how to read the others is said here too."""
    return listing("assumptions", "What this is based on", COLUMNS, _rows(build, others))


def _rows(build: Build, others: Iterable[Table]) -> Iterator[tuple[str, str]]:
    for violation in build.report.violations:
        yield BROKEN, str(violation)
    yield "problem", f"{build.problem.name}, sha256 {build.digest or 'unknown'}"
    if build.doubtful:
        yield "doubt", f"The layout was made for another state of the problem (sha256 {build.made_for})."
    elif build.report.clean:
        yield "proof", sentence(build.layout)
        yield from (("cut short", text) for text in dict(build.layout.listed).get("cut_short", ()))
    yield "labels", LABELS
    yield "cut lengths", f"Rounded up to whole steps of {build.cut_step_m:g} m."
    yield from ((one.name, one.note) for one in others if one.note)
    yield from (("default", text) for text in build.layout.defaults or build.problem.defaults)
    yield from (("caution", text) for text in caution_texts(build.problem))
