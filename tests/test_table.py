from __future__ import annotations

from dataclasses import FrozenInstanceError, dataclass

import pytest

from allocator.table import COUNT, FIGURE, TEXT, Table, columns_of, count, figure, keyed, table_of, text, texts


@dataclass(frozen=True)
class Wire:
    label: str
    pins: tuple[str, ...]
    cores: int
    length_m: float
    drop_percent: float | None = None

    @property
    def share(self) -> float:
        return 0.5


WIRES = (Wire("a", ("1", "2"), 2, 1.5), Wire("b", (), 1, 0.25))


@pytest.mark.parametrize(
    ("key", "heading"),
    [
        ("length_m", "length m"),
        ("copper_g_m", "copper g/m"),
        ("drop_percent", "drop %"),
        ("current_a night driving", "current night driving A"),
        ("from", "from"),
        ("ampacity_used", "ampacity used"),
    ],
)
def test_a_key_that_ends_with_its_unit_makes_a_heading(key, heading):
    (found,) = keyed(key)
    assert (found.key, found.heading) == (key, heading)
    assert found.kind == (FIGURE if found.unit else TEXT)


def test_without_a_key_a_column_is_called_by_name_and_unit():
    assert [one.key for one in (figure("length", "m"), figure("factor"), text("from"))] == [
        "length [m]", "factor", "from",
    ]  # fmt: skip


def test_fields_of_a_record_make_columns_of_their_kind():
    found = columns_of(Wire, "share")
    assert [one.key for one in found] == ["label", "pins", "cores", "length_m", "drop_percent", "share"]
    assert [one.kind for one in found] == [TEXT, TEXT, COUNT, FIGURE, FIGURE, FIGURE]


def test_rows_are_what_things_have_under_the_keys_of_the_columns():
    found = table_of(columns_of(Wire, "share"), WIRES)
    assert found.rows == (("a", "1; 2", 2, 1.5, None, 0.5), ("b", "", 1, 0.25, None, 0.5))
    assert table_of((text("end", key="to"), text("from")), [{"from": "x", "to": "y"}]).rows == (("y", "x"),)


def test_a_key_that_a_thing_lacks_is_no_empty_cell():
    with pytest.raises(KeyError):
        table_of(keyed("to"), [{"from": "x"}])


def test_columns_are_chosen_by_key_or_by_what_stands_in_them():
    found = table_of(columns_of(Wire), WIRES)
    assert found.only("length_m", "label").rows == ((1.5, "a"), (0.25, "b"))
    assert found.filled().keys == ("label", "pins", "cores", "length_m")
    nothing = Table(columns=(count("n"),), rows=((0,),))
    assert nothing.filled() == nothing


def test_a_frame_has_the_keys_for_columns_also_without_rows():
    frame = table_of(columns_of(Wire), WIRES).frame()
    assert frame.columns.to_list() == ["label", "pins", "cores", "length_m", "drop_percent"]
    assert frame["length_m"].sum() == 1.75
    assert table_of(columns_of(Wire), ()).frame().columns.to_list() == frame.columns.to_list()


def test_a_row_of_another_length_is_refused():
    with pytest.raises(AssertionError, match="one cell for each column"):
        Table(columns=texts("a", "b"), rows=(("x",),))


def test_a_table_cannot_be_changed():
    with pytest.raises(FrozenInstanceError):
        Table(columns=(), rows=()).title = "other"
