"""Links between pages, and how a plan's version is told."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from api.records.plans import KeptPlan
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from web.views.reading import Reading


@dataclass(frozen=True, slots=True)
class Link:
    """here: it leads to the page that shows it."""

    text: str
    href: str
    here: bool = False


def week_link(week: Week) -> Link:
    return Link(str(week), f"/weeks/{week}")


def day_links(asked: Asked, reading: Reading, here: date | None = None) -> tuple[Link, ...]:
    """The days of the week that are staffed, and the Monday after."""
    return tuple(
        Link(reading.short_day(day), f"/day-sheets/{day}", day == here)
        for day in asked.days
        if asked.kitchen.staffed_spans((day,))
    )


def version(kept: KeptPlan, reading: Reading) -> str:
    """ "plan 7, laid out Fri 14 Aug, 15:05" by the kitchen's clock."""
    at = kept.laid_out_at.replace(second=0)
    return reading.say(
        "plan %(number)s, laid out %(at)s", number=kept.number, at=reading.moment(at)
    )
