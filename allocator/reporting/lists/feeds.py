"""Feeds and fuses at the sources: units and what is fed from a source directly."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.reporting.lists.build import Build
from allocator.reporting.lists.listing import listing
from allocator.table import Row, Table, figure, fill_in, text

COLUMNS = (
    text("source"),
    text("at"),
    text("feeds"),
    text("label"),
    figure("fuse", "A", 1),
    figure("current", "A"),
    text("size"),
    figure("insulation", "degC", 0),
    text("route"),
    text("lies"),
    figure("length", "m"),
    figure("drop", "%"),
    figure("copper", "g", 1),
    fill_in("fitted"),
    fill_in("measured", "A"),
    fill_in("measured", "V"),
)

NOTE = (
    "Current of a feed: the worst condition, with what is kept in reserve; of a load fused at the source: its full "
    "current. Its copper is that of the way out; its return is in the cut list. A cable that lies "
    "beside the bundle is tied to it where they run together, not in it."
)


def feeds(build: Build) -> Table:
    """Feeds of units, then loads fused at their source."""
    rows = (*_feeds(build), *_direct(build))
    return listing("feeds-and-fuses", "Feeds and fuses at the sources", COLUMNS, rows, NOTE)


def _feeds(build: Build) -> Iterator[Row]:
    for unit in build.layout.units:
        feed, mounted = unit.feed, build.context.mounted.get(unit.name)
        if feed is None:
            continue
        source = mounted.source if mounted is not None else None
        yield (
            "" if source is None else source.name,
            "" if source is None else source.place,
            f"unit {unit.name} at {unit.site}",
            build.labels.feeds[unit.name],
            feed.fuse_a,
            None if mounted is None else build.context.feed_current_a(unit.name),
            feed.size,
            feed.insulation_c,
            " - ".join(feed.route),
            build.lies(build.labels.feeds[unit.name]),
            feed.length_m,
            feed.drop_percent,
            feed.copper_g,
            *[None] * 3,
        )


def _direct(build: Build) -> Iterator[Row]:
    for one, labels in zip(build.layout.direct, build.labels.direct, strict=True):
        source = build.problem.source.get(one.source)
        for wire, label in zip(one.wires, labels, strict=True):
            if wire.role != "return":
                yield (
                    one.source,
                    "" if source is None else source.place,
                    one.load,
                    label,
                    one.fuse_a,
                    one.current_a,
                    wire.size,
                    wire.insulation_c,
                    " - ".join(wire.route),
                    build.lies(label),
                    wire.length_m,
                    one.drop_percent,
                    wire.copper_g,
                    *[None] * 3,
                )
