from __future__ import annotations

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from allocator.reading.toml_text import parsed


@pytest.mark.parametrize(
    "text",
    [
        'a = {b = 1,\n c = "x"}',
        'a = {b = 1,\r\n c = "x",\r\n}',
        'a = {\n  b = 1, # a remark with } and {\n  c = "x", \n}\n',
        'a = {b = 1, c = "x"}\n',
    ],
)
def test_an_inline_table_may_span_lines(text: str) -> None:
    assert parsed(text) == {"a": {"b": 1, "c": "x"}}


def test_text_that_looks_like_a_table_stays_text() -> None:
    text = 'a = {b = "{ # \\" }",\n c = \'{"\',\n d = [{e = 1,\n f = 2}]}\ng = """\n{\n#"""\n'
    assert parsed(text) == {"a": {"b": '{ # " }', "c": '{"', "d": [{"e": 1, "f": 2}]}, "g": "{\n#"}


@pytest.mark.parametrize("text", ["a = {b = 1,\n c = }\nx", "a = 1\nb = = 2", "a = {\n", "}", "a = '"])
def test_what_is_no_toml_is_refused_with_the_message_of_the_text_as_it_stands(text: str) -> None:
    with pytest.raises(ValueError, match=r"\w") as plain:
        tomllib.loads(text)
    with pytest.raises(ValueError, match=r"\w") as refusal:
        parsed(text)
    assert str(refusal.value) == str(plain.value)


@given(st.text("{}\"'#\n,=ab1[] ", max_size=40))
def test_good_toml_is_read_as_it_is(text: str) -> None:
    try:
        plain = tomllib.loads(text)
    except ValueError:
        try:
            parsed(text)
        except ValueError:
            return
    else:
        assert parsed(text) == plain
