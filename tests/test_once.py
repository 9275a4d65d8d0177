"""What follows from a frozen object alone is worked out once and kept with it; a changed copy starts anew."""

from __future__ import annotations

import pickle
from copy import deepcopy
from dataclasses import FrozenInstanceError, dataclass, replace

import pytest

from allocator.once import once
from allocator.routing import Network, network_of
from tests.problem.samples import problem


@dataclass(frozen=True)
class Box:
    sides: tuple[int, ...]


ASKED: list[Box] = []


@once
def volume(box: Box) -> int:
    """How much is in it."""
    ASKED.append(box)
    return box.sides[0] * box.sides[1] * box.sides[2]


@once
def sides(box: Box) -> int | None:
    ASKED.append(box)
    return None


def test_it_is_worked_out_once_for_each_object_none_too() -> None:
    ASKED.clear()
    one, other = Box((1, 2, 3)), Box((1, 2, 3))
    assert [volume(one), volume(one), volume(other)] == [6, 6, 6]
    assert [sides(one), sides(one)] == [None, None]
    assert [id(box) for box in ASKED] == [id(one), id(other), id(one)]


def test_an_object_stays_as_it_is_to_all_who_compare_show_or_change_it() -> None:
    one = Box((1, 2, 3))
    volume(one)
    assert (one, hash(one), repr(one)) == (Box((1, 2, 3)), hash(Box((1, 2, 3))), "Box(sides=(1, 2, 3))")
    with pytest.raises(FrozenInstanceError):
        one.sides = ()  # type: ignore[misc]


def test_a_changed_copy_starts_anew() -> None:
    one = Box((1, 2, 3))
    assert (volume(one), volume(replace(one, sides=(2, 2, 2)))) == (6, 8)


def test_the_name_and_the_words_are_those_of_the_function() -> None:
    assert (volume.__name__, volume.__doc__) == ("volume", "How much is in it.")


def test_a_problem_has_one_network_and_a_changed_one_another() -> None:
    asked = problem()
    network = network_of(asked)
    assert isinstance(network, Network)
    assert network_of(asked) is network
    assert network.problem is asked
    warmer = replace(asked, ambient_c=60.0)
    assert network_of(warmer).problem is warmer
    assert asked == problem()


@pytest.mark.parametrize("copied", [deepcopy, lambda asked: pickle.loads(pickle.dumps(asked))], ids=["copy", "pickle"])
def test_a_problem_can_be_copied_with_what_is_kept_with_it(copied) -> None:
    asked = problem()
    route = network_of(asked).shortest("box", "door")
    again = copied(asked)
    assert again == asked
    assert network_of(again).shortest("box", "door") == route
