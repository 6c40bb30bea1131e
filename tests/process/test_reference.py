"""The reader of published values."""

import pytest

from scheduler.process import reference


def test_every_file_is_here_and_full():
    assert {"crops", "gab", "thin_layer"} <= set(reference.names())
    assert all(reference.rows(name) for name in reference.names())


@pytest.mark.parametrize(
    ("text", "pair"), [("2-3", (2, 3)), ("<1", (0, 1)), ("7.2-10", (7.2, 10)), ("4", (4, 4))]
)
def test_bounds(text, pair):
    assert reference.bounds(text) == pair
