"""What must be said with every layout."""

from __future__ import annotations

from allocator.problem import Bundling, Cables, Problem
from allocator.reporting.blocks import Block, Heading, Paragraph

CAUTIONS = (
    "Wiring can burn. A wire, a fuse or a contact that is too small, loose or chafed starts fires; an output "
    "that trips or fails can leave people stranded.",
    "Batteries and capacitors hold energy after everything is switched off: disconnect and make safe first. "
    "Keep away from airbags, belt tensioners, brakes and steering; leave those to people trained for them.",
    "This layout is a calculation from the figures it was given. Check every current, length, drop and "
    "temperature by measurement before it is relied on.",
    "Local codes, class rules and the makers' instructions come first, and so does licensed practice: have "
    "the work done or inspected by someone qualified where the law asks for it.",
)

ALONE = (
    'The heat of bundles is left out (bundle = "none"): every wire is sized without bundle derating. '
    "In a bundle it carries less; of eight wires tied together each carries about 0.6 of that (MIL-W-5088L, "
    "60 % loading). Keep wires apart, "
    "or size those that run together by hand."
)

UNKNOWN = (
    "Without segments it is not known which wires run together: every wire is sized without bundle derating. "
    "In a bundle it carries "
    "less: give segments where wires are tied together."
)

HEAT = (
    "How warm bundles get is worked out for an open harness in still air, not for foam or closed conduit: there, give "
    "the segment a factor of its own (column 'bundle' of the segments). Sizes hold for the wires that the list of "
    "bundles names in each segment. They no longer hold if others are tied in."
)

TABLE = (
    'Sizes hold for the most wires and the loading that were stated for the bundles (bundle = "table"): more wires in '
    "a bundle, or more load on them, and they no longer do."
)

CABLES_BESIDE = (
    "Feeds and other cables are taken to be tied beside the bundle, where air still reaches them, not inside it: run "
    "them that way."
)


def cautions(problem: Problem) -> tuple[Block, ...]:
    """The cautions, to be printed once at the end."""
    return (Heading("Cautions"), *(Paragraph(f"* {caution}") for caution in caution_texts(problem)))


def caution_texts(problem: Problem) -> tuple[str, ...]:
    """The text of each caution."""
    return (*CAUTIONS[:1], *_of_bundles(problem), *CAUTIONS[1:])


def _of_bundles(problem: Problem) -> tuple[str, ...]:
    """What the sizes of wires that run together rest on."""
    margins = problem.margins
    if margins.bundle is Bundling.NONE:
        return (ALONE,)
    if not problem.segments:
        return (UNKNOWN,)
    held = HEAT if margins.bundle is Bundling.HEAT else TABLE
    return (held, CABLES_BESIDE) if margins.cables is Cables.BESIDE else (held,)
