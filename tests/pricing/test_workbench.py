from __future__ import annotations

from allocator.pricing.circuits import alike_loads
from allocator.pricing.pricing import workbench
from allocator.problem import Function
from allocator.routing import Network
from tests.checking.builders import load, problem


def test_loads_of_a_function_against_bulkheads_are_watched_for_what_cuts_them_off():
    lights = Function(name="lights", loads=("left", "right"), survive=1, against=("bulkhead",))
    cart = problem(load("left"), load("right", "middle"), load("fan", "front"), functions=(lights,))
    alike = alike_loads(cart)
    bench = workbench(cart, Network(cart), alike)
    assert {alike[g].sample.name for g in bench.watched} == {"left", "right"}
    assert bench.cutoffs == ()
    assert dict(bench.returns) == {}
