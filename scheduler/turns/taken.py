"""Whom and what a plan takes when: what the weeks beside it must leave."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from scheduler.domain.asked import Asked
from scheduler.domain.plan import Charge, Plan
from scheduler.domain.promised import Taken
from scheduler.turns.stations import work_of


def taken_by(asked: Asked, plan: Plan, notes: set[str], *, at: datetime) -> Iterator[Taken]:
    """Where one lot at a time is worked, hands by name, and growers; only for those notes.

    at: when it was laid out (UTC).
    """
    kitchen = asked.kitchen
    several = {kitchen.cold_store.id, *(each.id for each in kitchen.chill_tubs)}
    several |= {each.id for each in kitchen.meters}
    of_note = {charge.code: charge.note_id for _, charge in plan.charges()}
    of_run = {run.id: {charge.note_id for charge in run.charges} for run in plan.runs}
    for work in work_of(asked, plan, at=at):
        own = {of_note.get(code, "") for code in work.subject.split(", ")}
        if work.whose not in several and own & notes:
            yield Taken(work.whose, work.span, work.title)
    for duty in plan.duties:
        own = of_run.get(duty.subject, {of_note.get(duty.subject, "")})
        if own & notes:
            yield Taken(duty.who, duty.span, f"{duty.work} {duty.subject}")
    for _, charge in plan.charges():
        if charge.note_id in notes:
            yield from _of_grower(charge, asked.note(charge.note_id).grower_id)


def _of_grower(charge: Charge, grower_id: str) -> Iterator[Taken]:
    if charge.preparation:
        yield Taken(grower_id, charge.preparation.wash, f"washing {charge.code}")
        yield Taken(grower_id, charge.preparation.cut, f"cutting {charge.code}")
    if charge.after:
        yield Taken(grower_id, charge.after.packing, f"packing {charge.code}")
