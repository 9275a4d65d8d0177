"""What a choice lacks in bundles and beside them, by the exact rule: whatever rows its model had."""

from __future__ import annotations

from allocator.advising.limits import Limit, bundle_limit
from allocator.choosing import Choice
from allocator.choosing.passed import broken_by
from allocator.pricing import Pricing


def passed_in_bundles(pricing: Pricing, choice: Choice) -> tuple[tuple[Limit, float], ...]:
    """Limits on bundles and cables that a choice passes, each in its worst condition, and by how much."""
    worst: dict[object, tuple[Limit, float]] = {}
    for one in broken_by(pricing, choice):
        limit = bundle_limit(pricing.problem, one.rule, one.segment, one.limit, one.condition)
        if limit.key not in worst or one.over > worst[limit.key][1]:
            worst[limit.key] = (limit, one.over)
    return tuple(worst.values())
