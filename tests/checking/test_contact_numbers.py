from __future__ import annotations

from dataclasses import replace

import pytest

from allocator.checking import check
from allocator.evaluation.complete import complete
from allocator.evaluation.contact_numbering import contacts_of, keeping_numbers, numbered, numbers_of
from allocator.layout import Layout
from allocator.problem import Bulkhead, ContactSet
from tests.checking.cases_wires import LOW, numbers_through_wall, through_wall


def numbers(layout):
    return [contact.number for contact in contacts_of(layout)]


def test_contacts_are_counted_from_one_set_after_set():
    wall = Bulkhead(name="wall", contacts=tuple(ContactSet(count=n, wire_mm2=(0.5, 6.0)) for n in (20, 4)))
    assert [numbers_of(wall, n) for n in (0, 1, 2, -1)] == [range(1, 21), range(21, 25), range(0), range(0)]


def test_a_layout_completed_has_a_number_for_every_contact():
    assert numbers(complete(*through_wall(0, lamps=3, low=replace(LOW, count=3)))) == [1, 2, 3]


def test_a_number_that_is_stated_is_kept_and_the_lowest_left_goes_to_the_others():
    there, made = numbers_through_wall(2, 1)
    first, second = made.circuits
    bare = replace(made, circuits=(replace(second, wires=through_wall(0)[1].circuits[0].wires), first))
    assert numbers(numbered(there, bare)) == [1, 2]
    assert numbers(complete(there, made)) == [2, 1]


def test_where_a_set_has_none_left_there_is_no_number():
    assert numbers(complete(*through_wall(0, lamps=2))) == [1, None]


def test_numbers_come_back_from_a_file_and_none_is_reckoned_with():
    _, made = numbers_through_wall(2, 1)
    again = Layout.from_json(made.to_json())
    assert again == made
    assert numbers(again) == [2, 1]


def test_a_number_of_another_set_is_found():
    violations = check(*numbers_through_wall(1, 3)).violations
    assert [(v.rule, v.text) for v in violations] == [("contact number", "contact 3 of bulkhead wall is not in set 0")]


def test_wires_that_are_still_there_keep_their_numbers_and_a_new_one_gets_what_is_left():
    there, made = numbers_through_wall(2, 1)
    bare = numbers_through_wall(1, 1)[1]
    bare = Layout.from_json(bare.to_json().replace('"number": 1', '"number": null'))
    assert numbers(keeping_numbers(there, made, bare)) == [2, 1]
    alone = replace(made, circuits=made.circuits[:1])
    assert numbers(numbered(there, keeping_numbers(there, alone, bare))) == [2, 1]


@pytest.mark.parametrize(("was", "now"), [((1, 1), [1, None]), ((3, 1), [None, 1])])
def test_numbers_that_cannot_stay_are_given_up(was, now):
    there, made = numbers_through_wall(*was)
    assert numbers(keeping_numbers(there, made, made)) == now
