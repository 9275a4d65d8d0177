from __future__ import annotations

import pytest

from allocator.importing.grid import GridCell


@pytest.mark.parametrize(("number", "value"), [(True, 13.625), (False, 13625.0)])
def test_a_number_of_the_file_has_a_point_whatever_commas_mark_elsewhere(number, value):
    assert GridCell("13.625", number=number).figure(",").value == value
