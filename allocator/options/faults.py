"""What rules out every layout by itself: a code to decide by, and the sentence made of it at the end."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from allocator.options.nearest_refusals import NearestMiss


class Evident(StrEnum):
    """What no allocation of outputs could mend."""

    STUD = "stud"
    STUD_OF_FUNCTION = "stud of a function"
    FUSE = "fuse"
    START = "start"
    MAX_TRIP = "max_trip"
    MAX_TRIP_AT_START = "max_trip at start"
    STALL = "stall"
    STALL_AT_START = "stall at start"
    DIRECT_WIRE = "direct wire"
    GIVEN_ROUTE = "given route"
    GIVEN_CLASS = "given class"
    GIVEN_CONTACT = "given contact"
    GIVEN_CURRENT = "given current"
    UNFED = "unfed"
    UNIT = "unit"
    SITE_FULL = "site full"
    SITE_WET = "site wet"
    SITE_HOT = "site hot"
    NO_UNIT = "no unit"
    FEED = "feed"
    CURRENT_OF_UNITS = "current of units"
    CURRENT_OF_FEEDS = "current of feeds"
    ROOM = "room"
    OUTPUTS = "outputs"


_SENTENCES = {
    Evident.STUD: "ground stud at '{}' would carry {:.1f} A in condition '{}', {:.1f} A over its {:g} A: give a larger "
    "stud, another stud nearer to some loads, or another return",
    Evident.STUD_OF_FUNCTION: "function '{}' must keep {} of {} loads, and the ground stud at '{}' leaves {}: give one "
    "of them another return",
    Evident.FUSE: "direct load '{}' needs a fuse of {:.1f} A, above the largest standard fuse",
    Evident.START: "direct load '{}' starts with {:g} A for {:g} s, more than the largest standard fuse withstands",
    Evident.MAX_TRIP: "direct load '{}' needs a fuse of {:g} A, above its max_trip of {:g} A",
    Evident.MAX_TRIP_AT_START: "direct load '{}' needs a fuse of {:g} A for its start of {:g} A, above its max_trip of "
    "{:g} A",
    Evident.STALL: "direct load '{}' needs a fuse of {:g} A, not below its stall current {:g} A",
    Evident.STALL_AT_START: "direct load '{}' needs a fuse of {:g} A for its start of {:g} A, not below its stall "
    "current {:g} A",
    Evident.DIRECT_WIRE: "direct load '{}': no wire of either table carries its fuse of {:g} A there and back within "
    "its drop: give it a larger max_drop, a place nearer to the source, or heavier wire",
    Evident.GIVEN_ROUTE: "given wire '{}': {}",
    Evident.GIVEN_CLASS: "given wire '{}': no {} of the insulation that its route asks for",
    Evident.GIVEN_CONTACT: "given wire '{}': a bulkhead on its way has no contact for {}",
    Evident.GIVEN_CURRENT: "given wire '{}': {} does not carry {:g} A on its way",
    Evident.UNFED: "No output can feed {}: {because}.",
    Evident.UNIT: "Unit {} cannot be mounted at any of its sites: {because}.",
    Evident.SITE_FULL: "'{}' has no room for a unit",
    Evident.SITE_WET: "'{}' is wet, and type '{}' is not sealed",
    Evident.SITE_HOT: "'{}' has {:g} degC, and type '{}' is rated only up to {:g} degC",
    Evident.NO_UNIT: "No unit can be mounted at any of its sites.",
    Evident.FEED: "No feed cable of the table carries what unit {} needs to any of its sites.",
    Evident.CURRENT_OF_UNITS: "In condition '{}' the loads draw {:.1f} A, {:.1f} A over what all units together may "
    "carry after unit_use and reserve.",
    Evident.CURRENT_OF_FEEDS: "In condition '{}' the loads draw {:.1f} A, {:.1f} A over what the largest feeds of all "
    "units together may carry.",
    Evident.ROOM: "{} units must be fitted, and their sites have room for no more than {} of them.",
    Evident.OUTPUTS: "The loads take at least {} outputs, and all units together have {} besides spare ones.",
}


@dataclass(frozen=True, slots=True)
class Fault:
    """What rules out every layout by itself.

    Parameters
    ----------
    what
        The code of it.
    named
        What its sentence speaks of, in the order that it is said: names (a tuple where there are several), numbers,
        currents in A, times in s, temperatures in degC.
    because
        What it comes of, where that takes a sentence of its own: the nearest miss of each reason, or what is wrong with
        each site.
    """

    what: Evident
    named: tuple[str | float | tuple[str, ...], ...] = ()
    because: tuple[Fault | NearestMiss, ...] = ()

    @property
    def text(self) -> str:
        """The fault in words, as the user is shown it."""
        named = (", ".join(f"'{name}'" for name in one) if isinstance(one, tuple) else one for one in self.named)
        return _SENTENCES[self.what].format(*named, because="; ".join(one.text for one in self.because))
