"""Pictures of columns: their names keep their distance, however many columns there are."""

from __future__ import annotations

from itertools import pairwise

import pytest

from web.views.drawing import LETTERS, NAME, Column, standing


@pytest.mark.parametrize("letters", [LETTERS, 16.0])
@pytest.mark.parametrize("width", [335.0, 700.0])
@pytest.mark.parametrize("weeks", [1, 12, 35, 52])
def test_names_keep_their_distance(width: float, weeks: int, letters: float):
    columns = [Column(f"W{each}", 0.5, 1.0, 0.2) for each in range(weeks)]
    tops = ("13,248 h", "9 kg")
    drawing = standing("weeks", columns, width=width, tops=tops, letters=letters)
    named = [each.x for each in drawing.words if each.anchor == "middle"]
    assert named
    assert all(later - before >= NAME * letters for before, later in pairwise(named))


@pytest.mark.parametrize("letters", [LETTERS, 16.0])
def test_what_the_longest_stands_for_has_room_at_its_left(letters: float):
    """A digit of DejaVu Sans is 0.636 of its size wide, a comma and a space half of it."""
    drawing = standing(
        "weeks", [Column("W1", 1, 1, 0)], width=335.0, tops=("13,248 h", "9 kg"), letters=letters
    )
    ends = [each for each in drawing.words if each.anchor == "end"]
    assert [each.text for each in ends] == ["13,248 h", "9 kg"]
    assert all(each.x >= letters * (6 * 0.636 + 2 * 0.318) for each in ends)
