"""Invented weeks in which clocks go back, with plans made by hand that run across the change."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

from scheduler import weeks
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week, WeeklyHours
from scheduler.domain.kitchen import Hand, OnCall
from scheduler.domain.plan import Plan
from scheduler.expand import expanded
from scheduler.prepare import problem
from scheduler.whiteboard import whiteboard

NEW_YORK = ZoneInfo("America/New_York"), Week(2026, 44)  # 1 November is its Sunday
BERLIN = ZoneInfo("Europe/Berlin"), Week(2026, 43)  # clocks go back on 25 October, its Sunday
BERLIN_AFTER = ZoneInfo("Europe/Berlin"), Week(2026, 44)
EVERY_DAY = tuple(WeeklyHours(day, time(7), time(19)) for day in range(7))
LATER = 2  # days: the lots of Monday to Friday come Wednesday to Sunday


def autumn(zone: ZoneInfo, week: Week, *, seed: int = 3) -> Asked:
    """An invented week moved to that one by the clock; its kitchen is staffed every day."""
    asked = weeks.week(seed, lots=18, dryers=4)
    kitchen = asked.kitchen
    shift = week.monday - asked.week.monday + timedelta(days=LATER)

    def moved(instant: datetime) -> datetime:
        local = instant.astimezone(kitchen.zone).replace(tzinfo=None) + shift
        return local.replace(tzinfo=zone).astimezone(UTC)

    return replace(
        asked,
        week=week,
        kitchen=replace(
            kitchen,
            zone=zone,
            staffed=EVERY_DAY,
            hands=tuple(Hand(each.name, each.role, EVERY_DAY) for each in kitchen.hands),
            on_call=tuple(OnCall(day, kitchen.hands[0].name, "") for day in range(7)),
        ),
        notes=tuple(
            replace(note, arrives=moved(note.arrives), latest_start=moved(note.latest_start))
            for note in asked.notes
        ),
    )


def by_hand(asked: Asked) -> Plan:
    """The whiteboard plan under the full rules."""
    week = problem(asked)
    return expanded(asked, week, whiteboard(week))
