"""Which turn is which, when some are where they were and others are new."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from scheduler.home import Begins, Home, Turn, as_it_was, paired, shift_g
from scheduler.whiteboard.masks import first

TIMES = st.lists(st.integers(0, 5), max_size=5).map(sorted)


@given(TIMES, TIMES)
def test_whatever_is_where_it_was_is_paired_with_itself(was: list[int], now: list[int]):
    places = paired(was, now)
    there = [place for place in places if place is not None]
    assert len(there) == len(set(there)) == min(len(was), len(now))
    stay = sum(
        place is not None and now[place] == at for at, place in zip(was, places, strict=True)
    )
    same = sum(min(was.count(at), now.count(at)) for at in set(was))
    assert stay == same


def test_a_new_turn_before_one_that_stays_moves_nothing():
    home = Home({0: (Turn(20, 100, 7),)})
    assert home.flat_g(0, [10, 20]) == 0
    assert home.moved_g(Begins({0: [10, 20]}, {}, {})) == 50  # half, for the new one


def test_one_that_is_elsewhere_counts_in_full_what_any_move_counts():
    home = Home({0: (Turn(20, 100, 7),)})
    assert home.flat_g(0, [10]) == 7
    assert home.moved_g(Begins({0: [20]}, {}, {})) == 0
    assert home.moved_g(Begins({0: []}, {}, {})) == 107


def test_what_may_stay_when_it_was_stays():
    turns = [Turn(-3, 1), Turn(7, 1), Turn(9, 1)]
    assert as_it_was(turns, 1 << 9 | 1 << 2, first) == 9
    assert as_it_was(turns, 1 << 9 | 1 << 7 | 1 << 2, first) == 7
    assert as_it_was(turns, 1 << 8 | 1 << 2, first) == 2
    assert as_it_was((), 1 << 7, first) == 7


def test_a_later_day_of_a_charge_counts_as_the_day_it_is_brought_on():
    home = Home(returning={0: (Turn(300, 100),)})
    assert home.moved_g(Begins({0: [10]}, {}, {0: [300]})) == 0
    assert home.moved_g(Begins({0: [10]}, {}, {0: [301]})) == shift_g(100, 1)
    assert home.moved_g(Begins({0: [10]}, {}, {})) == 100
