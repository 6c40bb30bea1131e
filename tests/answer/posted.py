"""Posted plans for answers: laid out by hand, and the test that an answer moves nothing in them."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from scheduler.answer import Answer
from scheduler.domain.asked import Asked
from scheduler.domain.plan import Plan, Run
from scheduler.domain.rules import FULL, RuleBook
from scheduler.expand import expanded
from scheduler.prepare import problem
from scheduler.whiteboard import filled, whiteboard
from scheduler.whiteboard.calendars import Calendars


def posted(asked: Asked, rules: RuleBook = FULL) -> Plan:
    week = problem(asked, rules)
    return expanded(asked, week, whiteboard(week))


def otherwise(asked: Asked) -> Plan:
    """Another faultless plan, filled in another order."""
    week = problem(asked)
    order = sorted(week.order, reverse=True)
    return expanded(asked, week, filled(week, Calendars(week), order))


def nothing(asked: Asked) -> Plan:
    """A posted plan without a single run."""
    return Plan(asked.week, "full", (), ())


def without(asked: Asked, note_id: str) -> Asked:
    return replace(asked, notes=tuple(each for each in asked.notes if each.id != note_id))


def moved(before: Plan, answer: Answer) -> list[str]:
    """What an answer has moved or taken away: runs, and duties of hands."""
    after = {run.id: run for run in answer.plan.runs}
    found = [run.id for run in before.runs if not _stays(run, after.get(run.id), answer.note_id)]
    gone = Counter(before.duties) - Counter(answer.plan.duties)
    return found + [f"{duty.who} {duty.work} {duty.subject}" for duty in gone]


def _stays(run: Run, now: Run | None, note_id: str) -> bool:
    """It may have gained charges of the note, and a wash-down where it had none."""
    if now is None:
        return False
    others = tuple(charge for charge in now.charges if charge.note_id != note_id)
    washed = now.wash_down if run.wash_down is None else run.wash_down
    return replace(now, charges=others) == replace(run, wash_down=washed)
