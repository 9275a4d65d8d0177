"""Every reason why something built cannot stay has its sentence, and the error keeps the code."""

from __future__ import annotations

from string import Formatter

import pytest

from allocator.revising.unfit import _SENTENCES, Unfit, UnfitError


@pytest.mark.parametrize("why", Unfit)
def test_every_code_has_a_sentence(why: Unfit) -> None:
    places = [spec for _, field, spec, _ in Formatter().parse(_SENTENCES[why]) if field is not None]
    named = [1.5 if spec else "front" for spec in places]
    error = UnfitError(why, *named)
    assert error.why is why
    assert str(error)
    assert all(("1.5" if spec else "front") in str(error) for spec in places)


def test_a_short_wire_is_told_with_both_lengths() -> None:
    assert str(UnfitError(Unfit.WIRE_SHORT, 1.2, 2.3)) == "its wire of 1.20 m is now too short: 2.30 m is needed"
