"""Weekly hours, absences and moments as people write them."""

from __future__ import annotations

from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

import pytest

from scheduler.domain.clock import WeeklyHours
from scheduler.scenario.hours import absence_span, absences, instant, moment, weekly_hours

NEW_YORK = ZoneInfo("America/New_York")


def test_a_range_of_days_with_hours_and_a_day_alone():
    found = weekly_hours("Mon-Wed 07:00-19:00; sat")
    assert found == (
        WeeklyHours(0, time(7), time(19)),
        WeeklyHours(1, time(7), time(19)),
        WeeklyHours(2, time(7), time(19)),
        WeeklyHours(5, time(0), time(0)),
    )


def test_days_by_name_and_midnight():
    found = weekly_hours("Mon,Fri 18:00-24:00")
    assert found == (WeeklyHours(0, time(18), time(0)), WeeklyHours(4, time(18), time(0)))


def test_nothing_is_no_hours():
    assert weekly_hours("") == ()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("7-19", "not weekly hours"),
        ("Mon 7:00-19:00", "not weekly hours"),
        ("Mon 25:00-26:00", "hour must be in"),
        ("Mon 19:00-07:00", "ends before it starts"),
        ("Mon 07:00-07:00", "ends before it starts"),
        ("Mo", "no such day: 'Mo'"),
    ],
)
def test_no_hours(text, said):
    with pytest.raises(ValueError, match=said):
        weekly_hours(text)


def test_a_range_that_runs_backwards_is_refused():
    with pytest.raises(ValueError, match="Fri-Mon"):
        weekly_hours("Fri-Mon 07:00-12:00")


def test_a_moment_is_local_unless_it_says_otherwise():
    local = moment("2026-08-17T07:30")
    assert instant(local, NEW_YORK) == datetime(2026, 8, 17, 11, 30, tzinfo=UTC)
    elsewhere = moment("2026-08-17T07:30+02:00")
    assert instant(elsewhere, NEW_YORK) == datetime(2026, 8, 17, 5, 30, tzinfo=UTC)


def test_a_time_that_the_clock_change_skips_moves_forward():
    skipped = moment("2026-03-08T02:30")
    assert instant(skipped, NEW_YORK).astimezone(NEW_YORK).time() == time(3, 30)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("2026-08-17", "not a date and time"),
        ("17.8.2026 7:30", "not a date and time"),
        (1_234, "not a date and time"),
        ("2026-08-32T07:30", "day is out of range"),
    ],
)
def test_no_moment(text, said):
    with pytest.raises(ValueError, match=said):
        moment(text)


def test_absences():
    found = absences("2026-08-20; 2026-08-21T12:00/2026-08-21T19:00")
    assert found[0] == date(2026, 8, 20)
    spans = [absence_span(each, NEW_YORK) for each in found]
    assert [span.seconds for span in spans] == [24 * 3600, 7 * 3600]
    assert spans[0].start == datetime(2026, 8, 20, 4, tzinfo=UTC)


def test_a_day_of_the_clock_change_is_an_hour_short():
    assert absence_span(date(2026, 3, 8), NEW_YORK).seconds == 23 * 3600
