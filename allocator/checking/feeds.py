"""Rules on the cable and fuse from the source to each unit."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.checking import routes, wires
from allocator.checking.report import Breach, number
from allocator.evaluation.branches import Mounted
from allocator.evaluation.context import Context
from allocator.evaluation.laid_conductors import Conductor
from allocator.evaluation.tolerance import excess
from allocator.layout import Feed


def feed_size(context: Context) -> Iterator[Breach]:
    """Every fitted unit has a feed, of a size of the feed table."""
    table = context.problem.feed_wires
    for name, unit in context.mounted.items():
        feed, label = unit.stated.feed, f"feed of unit {name}"
        if feed is None:
            current = number(context.feed_current_a(name))
            text = f"unit {name} has no feed, and no size of table '{table.name}' serves its {current} A"
            yield Breach(label, 1, "feed", text)
            continue
        asked = context.feeds[name].asked_c
        classes = {row.insulation_c for row in table.wires if row.size == feed.size}
        if not classes or (asked is not None and asked not in classes):
            of_class = "" if asked is None else f" of {number(asked)} degC"
            text = f"{label} is of size {feed.size}, which table '{table.name}' does not have{of_class}"
            yield Breach(label, 1, "feed", text)


def feed_route(context: Context) -> Iterator[Breach]:
    """A feed runs along segments from the place of its source to the site of its unit."""
    for unit, feed, conductor in _feeds(context):
        if unit.source is not None:
            yield from routes.route(conductor, feed.route, unit.source.place, unit.site.name)


def feed_insulation(context: Context) -> Iterator[Breach]:
    """A feed is of the lowest insulation class that the problem and its route allow."""
    for _, feed, conductor in _feeds(context):
        yield from wires.insulation(conductor, feed.insulation_c)


def feed_ampacity(context: Context) -> Iterator[Breach]:
    """``fuse <= ampacity``: a feed carries its fuse."""
    for _, feed, conductor in _feeds(context):
        if feed.fuse_a is None or conductor.ampacity_a is None:
            continue
        over = excess(feed.fuse_a, conductor.ampacity_a)
        if over > 0.0:
            text = (
                f"{conductor.label} of {feed.size} carries {number(conductor.ampacity_a)} A{wires.among(conductor)}, "
                f"{number(over)} A less than its fuse of {number(feed.fuse_a)} A"
            )
            yield Breach(conductor.label, over, "A", text)


def feed_drop(context: Context) -> Iterator[Breach]:
    """A feed loses no more than ``feed_drop`` of the running voltage."""
    limit = context.problem.margins.feed_drop * context.problem.running_v
    for _, _, conductor in _feeds(context):
        over = excess(conductor.drop_v, limit) if conductor.drop_v is not None else 0.0
        if over > 0.0:
            text = f"{conductor.label} loses {number(over)} V more than {number(limit)} V"
            yield Breach(conductor.label, over, "V", text)


def _feeds(context: Context) -> Iterator[tuple[Mounted, Feed, Conductor]]:
    for name, conductor in context.feeds.items():
        unit = context.mounted[name]
        if unit.stated.feed is not None:
            yield unit, unit.stated.feed, conductor
