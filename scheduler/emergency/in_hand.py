"""The plan in hand: the posted plan beside what has happened, and the charges in stopped dryers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime

from scheduler.domain.asked import Asked
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.kitchen import Dryer
from scheduler.domain.outage import Outage, StartedCharge, StartedRun
from scheduler.domain.plan import Plan, Run
from scheduler.domain.process_card import ProcessCard
from scheduler.process.drying import Conditions, Known, water_percent_after
from scheduler.process.yields import trimmed_g
from scheduler.started import dried_on, not_on_record
from scheduler.units import HOUR, Grams, Seconds, ceil_div


@dataclass(frozen=True, slots=True)
class Stopped:
    """A charge whose dryer stopped under it. left_s: of its card's drying hours, raised to whole
    hours, for the racks have to be warmed again (our reading). stood_s: as on a part-lot."""

    note: HarvestNote
    card: ProcessCard
    racks: int
    prepared_g: Grams
    run: StartedRun
    dryer: Dryer
    at: datetime
    left_s: Seconds
    water_percent: float
    stood_s: Seconds | None


def asked_in_hand(asked: Asked, plan: Plan, now: datetime) -> Asked:
    """What a mend of the plan is asked, and verified against.

    The plan is what is promised; a planned run that had begun when its dryer stopped counts as on
    record even where nobody wrote it down, unless another is on record as inside. What else has
    begun goes on as it was promised.
    """
    known = {_stop_under(asked, run, now) for run in asked.happened.runs} | {None}
    begun = tuple(
        _as_started(run)
        for run in not_on_record(asked, plan)
        if _stop_under(asked, run, now) not in known
    )
    happened = replace(asked.happened, now=now, runs=(*asked.happened.runs, *begun))
    return replace(asked, happened=happened, promised=replace(asked.promised, plan=plan))


def stopped_charges(asked: Asked, plan: Plan | None, station_id: str) -> tuple[Stopped, ...]:
    """What was in that dryer when it stopped, with drying hours left, and is no part-lot yet."""
    return tuple(_stopped(asked, plan, station_id))


def _stop_under(asked: Asked, run: Run | StartedRun, now: datetime) -> Outage | None:
    for outage in asked.happened.outages:
        under = run.start <= outage.stopped < run.end
        if outage.station_id == run.dryer_id and under and outage.stopped <= now:
            return outage
    return None


def _as_started(run: Run) -> StartedRun:
    charges = tuple(StartedCharge(each.note_id, each.racks) for each in run.charges)
    return StartedRun(run.dryer_id, run.set_point_c, run.start, run.end, charges)


def _stopped(asked: Asked, plan: Plan | None, station_id: str) -> Iterator[Stopped]:
    now = asked.happened.now
    known = {(each.note_id, each.stopped) for each in (plan.part_lots if plan else ())}
    for run in asked.happened.runs:
        stop = _stop_under(asked, run, now) if now and run.dryer_id == station_id else None
        for charge in run.charges if stop else ():
            assert stop
            if (charge.note_id, stop.stopped) not in known:
                yield from _charge(asked, plan, run, charge=charge, at=stop.stopped)


def _charge(
    asked: Asked, plan: Plan | None, run: StartedRun, *, charge: StartedCharge, at: datetime
) -> Iterator[Stopped]:
    note = asked.note(charge.note_id)
    card, dried_s = asked.card(note.card_id), int((at - run.start).total_seconds())
    if dried_s >= card.drying_s:
        return
    prepared = trimmed_g(note.field_g, card.trim_loss_percent)
    again = dried_on(asked, plan) if plan else {}
    fresh = (each for each in asked.happened.runs if each not in again)
    every = [c.racks for each in fresh for c in each.charges if c.note_id == note.id]
    known, air = Known.of(card), Conditions(card.set_point_c)
    yield Stopped(
        note=note,
        card=card,
        racks=charge.racks,
        prepared_g=Grams(prepared * charge.racks // max(1, sum(every))),
        run=run,
        dryer=asked.kitchen.dryer(run.dryer_id),
        at=at,
        left_s=Seconds(ceil_div(card.drying_s - dried_s, HOUR) * HOUR),
        water_percent=water_percent_after(dried_s / HOUR, known, air).likely,
        stood_s=_stood_s(plan, run, note.id),
    )


def _stood_s(plan: Plan | None, run: StartedRun, note_id: str) -> Seconds | None:
    """From the first basket cut, as planned, to the start of the run as it was; None where no plan
    tells. Of several charges in that dryer the nearest planned is meant, however late it began."""
    own = [
        (abs(planned.start - run.start), charge.preparation)
        for planned, charge in (plan.charges() if plan else ())
        if charge.note_id == note_id and planned.dryer_id == run.dryer_id
    ]
    _, made = min(own, key=lambda each: each[0], default=(None, None))
    if made is None:
        return None
    return Seconds(max(0, int((run.start - made.cut.start).total_seconds())))
