"""Rows of ticks against the same thing counted tick by tick."""

from hypothesis import given
from hypothesis import strategies as st

from scheduler.whiteboard.masks import (
    Profile,
    block,
    first,
    last,
    lasting,
    nth,
    reached,
    span,
    ticks,
)

MASKS = st.integers(0, (1 << 60) - 1)
LENGTHS = st.integers(1, 12)


def bits(mask: int) -> list[int]:
    return [tick for tick in range(mask.bit_length()) if mask >> tick & 1]


@given(MASKS, LENGTHS)
def test_lasting_is_where_so_many_ticks_follow(mask: int, length: int) -> None:
    inside = set(bits(mask))
    expected = [t for t in range(70) if all(t + n in inside for n in range(length))]
    assert bits(lasting(mask, length)) == expected


@given(MASKS, st.integers(0, 9), st.integers(0, 9))
def test_reached_lies_least_to_most_after_a_start(mask: int, least: int, more: int) -> None:
    expected = {t + n for t in bits(mask) for n in range(least, least + more + 1)}
    assert set(bits(reached(mask, least, least + more))) == expected


@given(st.integers(-9, 40), st.integers(-9, 40))
def test_span_is_from_the_first_to_the_last_and_none_before_nought(begin: int, end: int) -> None:
    assert bits(span(begin, end)) == [tick for tick in range(41) if begin <= tick <= end]


@given(MASKS.filter(bool))
def test_first_last_and_nth(mask: int) -> None:
    inside = bits(mask)
    assert (first(mask), last(mask)) == (inside[0], inside[-1])
    assert [nth(mask, place) for place in range(len(inside))] == inside == list(ticks(mask))


@given(st.lists(st.tuples(st.integers(0, 40), st.integers(0, 15), st.integers(1, 9))), LENGTHS)
def test_a_profile_counts_what_is_in_use(uses: list[tuple[int, int, int]], limit: int) -> None:
    profile, counted = Profile(block(0, 60)), [0] * 60
    for start, length, amount in uses:
        profile.add(block(start, length), amount)
        for tick in range(start, start + length):
            counted[tick] += amount
    assert bits(profile.at_most(limit)) == [t for t in range(60) if counted[t] <= limit]
