"""Pictures of columns: their names keep their distance, however many columns there are."""

from __future__ import annotations

from itertools import pairwise

import pytest

from web.views.drawing import NAME, Column, standing


@pytest.mark.parametrize("width", [335.0, 700.0])
@pytest.mark.parametrize("weeks", [1, 12, 35, 52])
def test_names_keep_their_distance(width: float, weeks: int):
    columns = [Column(f"W{each}", 0.5, 1.0, 0.2) for each in range(weeks)]
    drawing = standing("weeks", columns, width=width, tops=("9 h", "9 kg"))
    named = [each.x for each in drawing.words if each.anchor == "middle"]
    assert named
    assert all(later - before >= NAME for before, later in pairwise(named))
