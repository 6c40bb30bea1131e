"""Keeping plans and answering for them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from api.records.plans import NOWHERE, From, KeptPlan, PlanState
from api.services.ports import Plans
from scheduler.day_sheet import DaySheet, day_sheet
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.plan import Plan
from scheduler.errors import NoSuchPlan

PENCILLED: PlanState = "pencilled"


@dataclass(frozen=True, slots=True)
class KeptSheet:
    """A day sheet and the plan it was taken from."""

    sheet: DaySheet
    kept: KeptPlan


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


def plan_of(plans: Plans, week: Week) -> KeptPlan:
    """The newest plan of that week; NoSuchPlan where there is none."""
    found = plans.newest_of(week)
    if found is None:
        raise NoSuchPlan(f"no plan of {week} has been laid out")
    return found


def sheet_of(plans: Plans, day: date) -> KeptSheet:
    """The day's sheet from the newest plan that covers it; NoSuchPlan where none does.

    A Monday without a plan of its own is the Monday after: the last lots of the week before may
    still be checked and packed.
    """
    week = Week.of(day)
    found = plans.newest_of(week)
    if found is None and day == week.monday:
        found = plans.newest_of(Week.of(day - timedelta(days=7)))
    if found is None:
        raise NoSuchPlan(f"no plan that covers {day} has been laid out")
    return KeptSheet(day_sheet(found.asked, found.plan, day), found)


def newest_week(plans: Plans) -> Week | None:
    """The week of the plan laid out last; None while there is no plan."""
    found = plans.newest()
    return None if found is None else found.plan.week
