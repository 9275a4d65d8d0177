"""Lines as a solution lays them: what lies beside each, and so what it carries and loses."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property

from allocator.model import Solution
from allocator.model.bundle_temperatures import bodies
from allocator.model.segment_contents import SegmentContents, segment_contents
from allocator.options import ConductorOption, FeedOption, OptionList, WiringPlan
from allocator.options.warmed_wires import temperatures, warm_drop_v
from allocator.options.workbench import factor_of
from allocator.problem import Line
from allocator.routing import Route
from allocator.wiring import ampacity_a, resistance_ohm_m, running_temperature_c


class Laid:
    """What a solution lays where. An option is reckoned for so many cables beside it; there may be fewer."""

    def __init__(self, option_list: OptionList, solution: Solution):
        self.problem = option_list.problem
        self._option_list, self._solution = option_list, solution

    @cached_property
    def _segments(self) -> dict[int, SegmentContents]:
        return segment_contents(self._option_list, self._solution)

    @cached_property
    def _side_by_side(self) -> dict[int, int]:
        return {e: segment.side_by_side for e, segment in self._segments.items() if segment.cables}

    @cached_property
    def _warm(self) -> dict[int, float]:
        """How warm the middle of each bundle is, in degC."""
        return temperatures(bodies(self.problem, self._segments))

    def factor(self, route: Route, line: Line) -> float:
        """Share of its ampacity that is left to a line on its route."""
        return factor_of(self.problem, route, line, self._side_by_side)

    def feed(self, feed: FeedOption) -> FeedOption:
        """A feed with what it carries as it lies."""
        alone = self.problem.margins.ampacity * ampacity_a(feed.wire, feed.route.ambient_c, self.problem.altitude_m)
        return replace(feed, ampacity_a=alone * self.factor(feed.route, Line.CABLE))

    def plan(self, plan: WiringPlan) -> WiringPlan:
        """A plan with what its wires carry and lose as they lie."""
        return replace(plan, conductors=tuple(self._conductor(own) for own in plan.conductors))

    def _conductor(self, own: ConductorOption) -> ConductorOption:
        route = own.route
        alone = self.problem.margins.ampacity * ampacity_a(own.wire, route.ambient_c, self.problem.altitude_m)
        ampacity = alone * self.factor(route, own.line)
        listed, segment_contents = (
            resistance_ohm_m(
                own.wire,
                running_temperature_c(own.current_a, bears, route.ambient_c, own.wire.insulation_c),
            )
            for bears in (own.ampacity_a, ampacity)
        )
        cool = own.drop_v + own.current_a * own.length_m * (segment_contents - listed)
        found = replace(own, ampacity_a=ampacity, drop_v=cool)
        return replace(found, drop_v=warm_drop_v(self.problem, found, self._warm))
