"""Seasons of small invented kitchens, laid out by hand, with happenings drawn by seed: all demo."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from functools import lru_cache
from random import Random
from typing import Literal

from scheduler import weeks
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.outage import Outage
from scheduler.domain.plan import Plan, Run
from scheduler.expand import expanded
from scheduler.prepare import problem
from scheduler.process.dry_check import Decision
from scheduler.season.records import (
    Checked,
    Gone,
    LotRecord,
    Posted,
    Ran,
    Season,
    Taken,
    WeekRecord,
)
from scheduler.units import Grams
from scheduler.whiteboard import whiteboard

HOUR = timedelta(hours=1)
How = Literal["let go", "no-show"]


@lru_cache(maxsize=64)
def season(seed: int, *, length: int = 3) -> Season:
    """So many weeks running from 2026-W33, each in its own small kitchen."""
    records = tuple(_week(seed * 100 + each, each) for each in range(length))
    first, last = records[0].week.days[0], records[-1].week.days[-1]
    return Season(f"small-{seed}", first, last, records, invented=True, seed=seed)


def laid_out(asked: Asked) -> Plan:
    found = problem(asked)
    return expanded(asked, found, whiteboard(found))


def moved(asked: Asked, later: int) -> Asked:
    """The same week so many weeks later; no clock changes lie between."""
    shift = timedelta(weeks=later)
    notes = tuple(
        replace(each, arrives=each.arrives + shift, latest_start=each.latest_start + shift)
        for each in asked.notes
    )
    return replace(asked, week=Week.of(asked.week.monday + shift), notes=notes)


def _week(seed: int, number: int) -> WeekRecord:
    asked, rng = moved(weeks.small_kitchen(seed), number - 1), Random(seed)
    plan = laid_out(asked)
    gone = _gone(rng, asked, plan)
    ran = tuple(
        each for run in plan.runs if (each := _ran(rng, run, {each.note_id for each in gone}))
    )
    return WeekRecord(
        posted=(Posted(asked, plan),),
        ran=ran,
        lots=tuple(_lot(rng, asked, ran, note_id) for note_id in _placed(ran)),
        outages=_stops(rng, asked),
        gone=gone,
    )


def _placed(ran: tuple[Ran, ...]) -> list[str]:
    return list(dict.fromkeys(charge.note_id for each in ran for charge in each.run.charges))


def _gone(rng: Random, asked: Asked, plan: Plan) -> tuple[Gone, ...]:
    placed = sorted({charge.note_id for _, charge in plan.charges()})
    if not placed or rng.random() < 0.5:
        return ()
    note = asked.note(rng.choice(placed))
    how: How = "let go" if rng.random() < 0.5 else "no-show"
    return (Gone(note.id, how, note.arrives - rng.choice([1, 30]) * HOUR),)


def _ran(rng: Random, run: Run, gone: set[str]) -> Ran | None:
    charges = tuple(each for each in run.charges if each.note_id not in gone)
    if not charges:
        return None
    on_record = rng.random() < 0.7
    longer = timedelta(minutes=5 * rng.randint(-6, 12)) if on_record else timedelta()
    return Ran(replace(run, charges=charges, end=run.end + longer), run, on_record)


def _lot(rng: Random, asked: Asked, ran: tuple[Ran, ...], note_id: str) -> LotRecord:
    note, packed = asked.note(note_id), rng.random() < 0.8
    own = [each.run for each in ran if any(c.note_id == note_id for c in each.run.charges)]
    washed = min(
        c.preparation.wash.start
        for run in own
        for c in run.charges
        if c.note_id == note_id and c.preparation
    )
    came = min(washed, note.arrives + timedelta(minutes=rng.randint(-30, 120)))
    decisions: list[Decision] = ["hold", "pass"] if rng.random() < 0.3 else ["pass"]
    bags = rng.randint(1, 40)
    return LotRecord(
        note_id,
        f"{came:%y-%j}-{note.grower_id}-{note.card_id[:3].upper()}-{note_id}",
        came,
        Grams(note.field_g * rng.randint(70, 130) // 100),
        by="hand",
        bags=bags if packed else None,
        packed=own[-1].end + 30 * HOUR if packed else None,
        checks=tuple(
            Checked(own[-1].end + HOUR, own[-1].id, each, "hand", 0.5, 8.0) for each in decisions
        ),
        discarded_g=rng.randint(0, 200),
        went_to=(Taken("market", bags, own[-1].end + 50 * HOUR),) if packed else (),
    )


def _stops(rng: Random, asked: Asked) -> tuple[Outage, ...]:
    start = asked.kitchen.staffed_spans(asked.week.days)[0].start
    return tuple(
        Outage(dryer.id, start + rng.randint(0, 40) * HOUR, start + rng.randint(41, 90) * HOUR)
        for dryer in asked.kitchen.dryers
        for _ in range(rng.randint(0, 2))
    )
