"""What the page "Day sheet" shows."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import ClassVar

from api.services.plans import KeptSheet
from scheduler.day_sheet import DaySheet
from scheduler.domain.rules import SIMPLE
from web.views.labels import labels_link
from web.views.links import Link, day_links, version, week_link
from web.views.page import Page
from web.views.reading import Reading


@dataclass(frozen=True, slots=True)
class DaySheetPage(Page):
    """Day sheet: the sheet itself, its version, and the days around it.

    A grower's own is told neither its version nor its week: numbers count what is not hers.
    """

    template: ClassVar[str] = "day_sheet.html"
    sheet: DaySheet
    version: str | None
    easier: bool
    hatches: dict[str, str]  # group to hatch
    week: Link | None
    labels: Link | None
    day_links: tuple[Link, ...]
    previous: Link | None
    following: Link | None


def day_sheet_page(found: KeptSheet, reading: Reading, *, own: bool = False) -> DaySheetPage:
    """The page of one day; previous and following are the days before and after it, if covered.

    own: a grower's part of it.
    """
    asked, day = found.kept.asked, found.sheet.day
    before, after = day - timedelta(days=1), day + timedelta(days=1)
    return DaySheetPage(
        sheet=found.sheet,
        version=None if own else version(found.kept, reading),
        easier=found.sheet.rules == SIMPLE.name,
        hatches={group.id: group.hatch for group in asked.kitchen.groups},
        week=None if own else week_link(found.kept.plan.week),
        labels=None if own else labels_link(day, reading),
        day_links=day_links(asked, reading, day),
        previous=Link(reading.say("day before"), f"/day-sheets/{before}")
        if before in asked.days
        else None,
        following=Link(reading.say("day after"), f"/day-sheets/{after}")
        if after in asked.days
        else None,
    )
