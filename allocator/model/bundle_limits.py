"""What a solution breaks in bundles and beside them, by the exact rule, whatever rows its model had."""

from __future__ import annotations

from dataclasses import replace

from allocator.model import Solution
from allocator.model.limits import Limit, LimitKind, bundle_limit
from allocator.model.separation import broken_by
from allocator.options import FeedOption, OptionList


def passed_in_bundles(option_list: OptionList, solution: Solution) -> tuple[tuple[Limit, float], ...]:
    """Limits on bundles and cables that a solution exceeds, each in its worst condition, and by how much."""
    worst: dict[object, tuple[Limit, float]] = {}
    for one in broken_by(option_list, solution):
        limit = bundle_limit(option_list.problem, one.rule, one.segment, one.limit, one.condition)
        if limit.key not in worst or one.over > worst[limit.key][1]:
            worst[limit.key] = (limit, one.over)
    return tuple(worst.values())


def beside_others(limit: Limit, option_list: OptionList, solution: Solution) -> Limit:
    """The limit on a feed, as it is for one that was chosen to lie beside other cables; others as they are."""
    feed = feed_beside_others(limit, option_list, solution)
    if feed is None:
        return limit
    slot, others = option_list.slots[feed.slot], _side_by_side(option_list, feed) - 1
    name = f"feed of unit {slot.unit.name} at {slot.site}, beside {others} other cable{'s' if others > 1 else ''}"
    return replace(limit, name=name, amount=(feed.capacity_ma - slot.spare_current_ma) / 1000.0)


def feed_beside_others(limit: Limit, option_list: OptionList, solution: Solution) -> FeedOption | None:
    """The feed that a limit is on, where it was chosen to lie beside other cables."""
    if limit.kind is not LimitKind.FEED:
        return None
    chosen = (option_list.feeds[f] for f in solution.feeds)
    return next((f for f in chosen if f.slot == limit.key.at and _side_by_side(option_list, f) > 1), None)


def _side_by_side(option_list: OptionList, feed: FeedOption) -> int:
    """Cables that a feed is listed to lie beside, itself among them."""
    if feed.at_most is not None:
        return feed.at_most
    return max((option_list.lazy.cables.get(e, 1) for e in feed.route.segments), default=1)
