"""Why something that is built cannot stay: a code to decide by, and the sentence made of it at the end."""

from __future__ import annotations

from enum import StrEnum


class Unfit(StrEnum):
    """What keeps a built circuit, feed or direct load from staying."""

    OUTPUT_TWICE = "output twice"
    LOAD_TWICE = "load twice"
    UNIT_GONE = "unit gone"
    SITE_GONE = "site gone"
    FUNCTION = "function"
    LOADS_APART = "loads apart"
    LOAD_APART = "load apart"
    NO_PIN = "no pin"
    OUTPUTS = "outputs"
    SIZES = "sizes"
    PARALLEL = "parallel"
    LOOSE = "loose"
    SPLICES = "splices"
    WET_SPLICE = "wet splice"
    TERMINAL = "terminal"
    LOAD_MOVED = "load moved"
    START_MOVED = "start moved"
    MEASURED = "measured"
    WAY_GONE = "way gone"
    WIRE_SHORT = "wire short"
    WIRE_SIZE = "wire size"
    CONTACT = "contact"
    DROP_TRIP = "drop or trip"
    DROP_FUSE = "drop or fuse"
    NO_FEED = "no feed"
    CABLES_CLOSED = "cables closed"
    FEED_SOURCE = "feed source"
    CABLE_SHORT = "cable short"
    CABLE_SIZE = "cable size"
    DIRECT_SOURCE = "direct source"
    ONE_OUT = "one out"
    DIRECT_WAY = "direct way"
    OPTION = "option"
    FUSE = "fuse"


_SENTENCES = {
    Unfit.OUTPUT_TWICE: "its output is used twice",
    Unfit.LOAD_TWICE: "its load is fed twice",
    Unfit.UNIT_GONE: "unit {} is no longer there",
    Unfit.SITE_GONE: "unit {} can no longer sit at {}",
    Unfit.FUNCTION: "function {} may not lose so many of its loads with one output",
    Unfit.LOADS_APART: "its loads may no longer share an output",
    Unfit.LOAD_APART: "{} may no longer share an output",
    Unfit.NO_PIN: "unit {} has no output {}",
    Unfit.OUTPUTS: "it takes {} outputs of one class now",
    Unfit.SIZES: "its wires are of more than one size",
    Unfit.PARALLEL: "it needs one wire from each output, all along one route",
    Unfit.LOOSE: "its wires do not reach all its loads",
    Unfit.SPLICES: "its splices are not the ones that its wires need now",
    Unfit.WET_SPLICE: "its splice at {} would be in a wet place",
    Unfit.TERMINAL: "the terminal does not take {}",
    Unfit.LOAD_MOVED: "{} is at {} now",
    Unfit.START_MOVED: "its wire does not start at {}",
    Unfit.MEASURED: "its length is measured along another way",
    Unfit.WAY_GONE: "there is no longer a way along {}",
    Unfit.WIRE_SHORT: "its wire of {:.2f} m is now too short: {:.2f} m is needed",
    Unfit.WIRE_SIZE: "its {} wire does not carry {:g} A of trip or fuse, or is off the shelf",
    Unfit.CONTACT: "a contact on its route no longer takes its {} wire",
    Unfit.DROP_TRIP: "its wires lose too much voltage on the way to {}, or no return carries its trip",
    Unfit.DROP_FUSE: "its wires lose too much voltage on the way to {}, or no return carries its fuse",
    Unfit.NO_FEED: "the layout does not say what feeds it",
    Unfit.CABLES_CLOSED: "cables are no longer allowed on its route",
    Unfit.FEED_SOURCE: "it is fed from {} now, or its route is gone",
    Unfit.CABLE_SHORT: "its cable of {:.2f} m is now too short: {:.2f} m is needed",
    Unfit.CABLE_SIZE: "its {} cable no longer serves on its route",
    Unfit.DIRECT_SOURCE: "it is fed from {} now",
    Unfit.ONE_OUT: "it does not have exactly one outgoing wire",
    Unfit.DIRECT_WAY: "its route is gone, or its ends are elsewhere now",
    Unfit.OPTION: "{}",
    Unfit.FUSE: "{}",
}


class UnfitError(Exception):
    """Why something that is built cannot stay.

    Parameters
    ----------
    why
        The code of the reason.
    named
        What its sentence speaks of, in the order that it is said: names, and lengths in m or currents in A.
    """

    def __init__(self, why: Unfit, *named: str | float) -> None:
        super().__init__(why, *named)
        self.why = why
        self.named = named

    def __str__(self) -> str:
        """The reason in words, as the user is shown it."""
        return _SENTENCES[self.why].format(*self.named)
