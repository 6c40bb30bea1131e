"""Kinds that pay come more often, and none is given up."""

from collections.abc import Iterable

from hypothesis import given
from hypothesis import strategies as st

from scheduler.model.returns import LEAST, Returns

KINDS = ("a", "b", "c")


def told(tries: Iterable[tuple[str, int, float]]) -> list[float]:
    """Each kind's share after these tries."""
    returns: Returns[str] = Returns()
    for kind, gained, cost in tries:
        returns.count(kind, gained, cost)
    return [returns.share(kind) for kind in KINDS]


def test_before_any_gain_all_are_alike() -> None:
    assert told([]) == [1, 1, 1]
    assert told([("a", 0, 1.0), ("b", -1, 2.0)]) == [1, 1, 1]


def test_who_gains_more_for_its_cost_is_taken_more_readily() -> None:
    cheap, dear, vain = told([("a", 900, 1.0), ("b", 900, 6.0), ("c", 0, 1.0)])
    assert cheap == 1
    assert cheap > dear > vain == LEAST


def test_who_has_not_been_tried_counts_as_the_best() -> None:
    best, poor, untried = told([("a", 900, 1.0), ("b", 10, 1.0)])
    assert untried == best > poor


def test_what_paid_once_is_forgotten() -> None:
    once = [("a", 9000, 1.0), ("b", 300, 1.0)]
    a_before, b_before, _ = told(once)
    a_after, b_after, _ = told(once + [("a", 0, 1.0), ("b", 300, 1.0)] * 20)
    assert a_before > b_before
    assert a_after < b_after


@given(
    st.lists(
        st.tuples(st.sampled_from(KINDS), st.integers(-1, 10**6), st.floats(0.1, 10.0)), max_size=30
    )
)
def test_none_is_given_up(tries: list[tuple[str, int, float]]) -> None:
    shares = told(tries)
    assert max(shares) == 1
    assert min(shares) >= LEAST
