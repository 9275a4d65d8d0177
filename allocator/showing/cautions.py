"""What must be said with every layout."""

from __future__ import annotations

from allocator.problem import Bundling, Problem
from allocator.showing.blocks import Block, Heading, Paragraph

CAUTIONS = (
    "Wiring can burn. A wire, a fuse or a contact that is too small, loose or chafed starts fires; an output "
    "that trips or fails can leave people stranded.",
    "Batteries and capacitors hold energy after everything is switched off: disconnect and make safe first. "
    "Keep away from airbags, belt tensioners, brakes and steering; leave them to those trained for them.",
    "This layout is a calculation from the figures it was given. Check every current, length, drop and "
    "temperature by measurement before it is relied on.",
    "Local codes, class rules and the makers' instructions go before it, and so does licensed practice: have "
    "the work done or inspected by someone qualified where the law asks for it.",
)


ALONE = (
    'Bundle factors are off (bundle = "none"): every wire is sized as if it lay alone. In a bundle it carries less; of '
    "eight wires tied together each carries about 0.6 of that (MIL-W-5088L, 60 % loading). Keep wires apart, or "
    "size those that run together by hand."
)


def cautions(problem: Problem) -> tuple[Block, ...]:
    """The cautions, to be printed once at the end."""
    own = (ALONE, *CAUTIONS) if problem.margins.bundle is Bundling.NONE else CAUTIONS
    return (Heading("Cautions"), *(Paragraph(f"* {caution}") for caution in own))
