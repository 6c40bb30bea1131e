"""Keeping plans and answering for them."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from functools import lru_cache

from api.records.plans import NOWHERE, From, KeptPlan, PlanState
from api.services.as_turned import as_turned
from api.services.errors import NotAllowed
from api.services.own_day import own_day
from api.services.ports import Book, Plans
from api.services.roles import Act, Doing, must, whose
from api.services.weeks import week_entry
from scheduler.day_sheet import DaySheet, day_sheet, with_left_over
from scheduler.day_sheet.sheet import NightSheet
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.plan import Plan
from scheduler.errors import NoSuchPlan
from scheduler.wording import TemperatureUnit, WeightUnit

PENCILLED: PlanState = "pencilled"
POSTED: PlanState = "posted"


@dataclass(frozen=True, slots=True)
class Units:
    """In which somebody reads; without them a sheet is told in the kitchen's own."""

    weight: WeightUnit
    temperature: TemperatureUnit


@dataclass(frozen=True, slots=True)
class KeptSheet:
    """A day sheet and the plan it was taken from. before: on a Monday, the posted plan of the week
    before, where what is left of it stands on the sheet too."""

    sheet: DaySheet
    kept: KeptPlan
    before: KeptPlan | None = None


def keep(
    plans: Plans, asked: Asked, plan: Plan, *, laid_out_at: datetime, origin: From = NOWHERE
) -> int:
    """Keep a plan as the newest version of its week, pencilled; its number."""
    return plans.add(asked, plan, laid_out_at=laid_out_at, state=PENCILLED, origin=origin)


def plan_numbered(plans: Plans, number: int) -> KeptPlan:
    """That version; NoSuchPlan where there is none."""
    found = plans.find(number)
    if found is None:
        raise NoSuchPlan(f"there is no plan {number}")
    return found


def plan_of(book: Book, week: Week) -> KeptPlan:
    """The posted plan of that week, else the newest; NoSuchPlan where there is none."""
    found = standing(book, week)
    if found is None:
        raise NoSuchPlan(f"no plan of {week} has been laid out")
    return found


def standing(book: Book, week: Week) -> KeptPlan | None:
    """The posted plan of that week, else the newest; None where there is none."""
    posted = week_entry(book, week).posted
    return book.plans.newest_of(week) if posted is None else book.plans.find(posted)


def sheet_of(book: Book, day: date, *, units: Units | None = None) -> KeptSheet:
    """The day's sheet from the plan that stands for it; NoSuchPlan where none does.

    A Monday is the Monday after, too: the last lots of the week before are still checked and
    packed. They stand on the new week's sheet once that is laid out, if their plan is posted.
    """
    week = Week.of(day)
    found = _turned(book, week)
    before = _turned(book, Week.of(day - timedelta(days=7))) if day == week.monday else None
    if found is None:
        found, before = before, None
    if found is None:
        raise NoSuchPlan(f"no plan that covers {day} has been laid out")
    alone = one_sheet(found, day, units=units)
    if before is None or before.state != POSTED:
        return KeptSheet(alone, found)
    left = one_sheet(before, day, units=units)
    return KeptSheet(with_left_over(alone, left, found.asked.kitchen), found, before)


def _turned(book: Book, week: Week) -> KeptPlan | None:
    found = standing(book, week)
    return None if found is None else as_turned(book, found)


def one_sheet(kept: KeptPlan, day: date, *, units: Units | None = None) -> DaySheet:
    """Of that plan alone."""
    sheet = _sheet(_in(units, kept.asked), kept.plan, day, called_off=kept.called_off)
    return replace(sheet, state=kept.state)


def _in(units: Units | None, asked: Asked) -> Asked:
    """The same week of a kitchen that reckons in those units."""
    if units is None:
        return asked
    return _told_in(asked, units)


@lru_cache(maxsize=64)
def _told_in(asked: Asked, units: Units) -> Asked:
    kitchen = replace(asked.kitchen, weight_unit=units.weight, temperature_unit=units.temperature)
    return replace(asked, kitchen=kitchen)


_sheet = lru_cache(maxsize=64)(day_sheet)  # a kept plan never changes


def sheet_for(book: Book, doing: Doing, day: date) -> DaySheet:
    """What of that day's sheet she may see, as in kept_sheet_for."""
    return kept_sheet_for(book, doing, day).sheet


def kept_sheet_for(book: Book, doing: Doing, day: date, *, units: Units | None = None) -> KeptSheet:
    """The whole sheet, or a grower's own part of it, which is empty where nothing is planned.

    A plan that is not posted is nobody's promise: growers see posted ones only.
    """
    own = whose(doing, Act.READ_DAY_SHEET)
    if own is None:
        return sheet_of(book, day, units=units)
    found = _posted_sheet(book, day, units)
    if found is None:
        raise NoSuchPlan(f"no plan that covers {day} has been posted")
    asked = found.kept.asked
    if found.before is not None:
        asked = replace(asked, notes=(*asked.notes, *found.before.asked.notes))
    return replace(found, sheet=own_day(found.sheet, asked, own))


def _posted_sheet(book: Book, day: date, units: Units | None) -> KeptSheet | None:
    """None alike for no plan and for one that is not posted: a grower cannot tell which."""
    with suppress(NoSuchPlan):
        found = sheet_of(book, day, units=units)
        if found.kept.state == POSTED:
            return found
        if found.before is not None:
            return KeptSheet(one_sheet(found.before, day, units=units), found.before)
    return None


def night_for(book: Book, doing: Doing, day: date) -> NightSheet | None:
    """The night after that day; who is on call sees tonight's and last night's."""
    reach = must(doing, Act.READ_NIGHT_SHEET)
    found = sheet_of(book, day)
    today = doing.at.astimezone(found.kept.asked.kitchen.zone).date()
    if reach == "tonight" and day not in (today, today - timedelta(days=1)):
        raise NotAllowed(f"{doing.person.role} may read tonight's sheet only")
    return found.sheet.night


def week_for(book: Book, doing: Doing, week: Week) -> KeptPlan:
    """The plan that stands for that week."""
    must(doing, Act.READ_WEEK)
    return plan_of(book, week)


def versions_for(book: Book, doing: Doing, week: Week) -> tuple[int, ...]:
    """The numbers of all versions of a week, in order of laying out."""
    must(doing, Act.READ_WEEK)
    return book.plans.numbers_of(week)


def plan_for(book: Book, doing: Doing, number: int) -> KeptPlan:
    """One version, posted or not."""
    must(doing, Act.READ_WEEK)
    return plan_numbered(book.plans, number)


def newest_week(book: Book) -> Week | None:
    """The week of the plan laid out last; None while there is no plan."""
    found = book.plans.newest()
    return None if found is None else found.plan.week


def covered_day(book: Book, doing: Doing) -> date | None:
    """Today where a plan covers it, else the first day of the week laid out last; None while there
    is no plan."""
    newest = book.plans.newest()
    if newest is None:
        return None
    today = doing.at.astimezone(newest.asked.kitchen.zone).date()
    covered = standing(book, Week.of(today)) is not None
    days = newest.asked.kitchen.open_days(newest.asked.week.days)
    return today if covered else next(iter(days), newest.plan.week.monday)
