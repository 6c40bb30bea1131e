"""The clock of exposure against the invented night: two ways of the same part-lot."""

from __future__ import annotations

from datetime import datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from scheduler.exposure_clock import Marked, clock_of
from scheduler.units import HOUR, Seconds

STOP = datetime.fromisoformat("2026-08-18T22:10-04:00")
NONE = Seconds(0)


def night(clock: str, day: int = 19) -> datetime:
    return datetime.fromisoformat(f"2026-08-{day}T{clock}-04:00")


COLD = Marked(night("00:30"), "in control")


def test_it_runs_from_the_stop_and_asks_four_hours_later():
    found = clock_of(STOP, NONE, (), night("22:45", 18))
    assert (found.exposed_s, found.runs, found.over) == (35 * 60, True, False)
    assert found.ask_by == night("02:10")


def test_what_stood_before_is_counted():
    found = clock_of(STOP, Seconds(HOUR), (), STOP)
    assert found.ask_by == night("01:10")


def test_in_the_cold_it_stands_still_and_never_resets():
    found = clock_of(STOP, NONE, (COLD,), night("08:00"))
    assert (found.exposed_s, found.runs, found.ask_by) == (140 * 60, False, None)
    out = Marked(night("08:00"), "warm")
    assert clock_of(STOP, NONE, (COLD, out), night("09:00")).exposed_s == 200 * 60


def test_found_warm_all_time_since_the_stop_counts():
    """Part B at 14 C at 02:30: 4 h 20 min, over the house limit."""
    found = clock_of(STOP, NONE, (COLD, Marked(night("02:30"), "found warm")), night("02:30"))
    assert found.exposed_s == 4 * HOUR + 20 * 60
    assert found.over
    assert found.runs


def test_what_has_not_come_yet_does_not_count():
    assert clock_of(STOP, NONE, (COLD,), night("00:10")) == clock_of(STOP, NONE, (), night("00:10"))


@given(
    st.lists(
        st.tuples(st.integers(0, 600), st.sampled_from(("in control", "warm", "found warm"))),
        max_size=6,
    ),
    st.integers(0, 600),
    st.integers(0, 600),
)
def test_it_never_goes_back(marks: list[tuple[int, str]], early: int, later: int):
    told = [Marked(STOP + timedelta(minutes=at), mark) for at, mark in marks]  # type: ignore[arg-type]
    first, second = sorted((early, later))
    before = clock_of(STOP, NONE, told, STOP + timedelta(minutes=first))
    after = clock_of(STOP, NONE, told, STOP + timedelta(minutes=second))
    assert 0 <= before.exposed_s <= after.exposed_s <= second * 60
