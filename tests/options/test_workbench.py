from __future__ import annotations

from allocator.options.load_groups import load_groups_of
from allocator.options.option_list import workbench
from allocator.problem import Function
from allocator.routing import Network
from tests.checking.builders import load, problem


def test_loads_of_a_function_against_bulkheads_are_watched_for_what_cuts_them_off():
    lights = Function(name="lights", loads=("left", "right"), survive=1, against=("bulkhead",))
    cart = problem(load("left"), load("right", "middle"), load("fan", "front"), functions=(lights,))
    load_groups = load_groups_of(cart)
    bench = workbench(cart, Network(cart), load_groups)
    assert {load_groups[g].sample.name for g in bench.guarded} == {"left", "right"}
    assert bench.prunings == ()
    assert dict(bench.returns) == {}
