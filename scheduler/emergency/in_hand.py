"""The plan in hand: the posted plan beside what has happened, and what stopped dryers held."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import datetime, timedelta

from scheduler.domain.asked import Asked
from scheduler.domain.outage import Outage, StartedCharge, StartedRun
from scheduler.domain.part_lot import DriesOn, PartLot, stopped_again
from scheduler.domain.plan import Plan, Run
from scheduler.emergency.again import lost_ways, under
from scheduler.emergency.hands import up
from scheduler.emergency.stopped import Stopped, hours_left, water_after
from scheduler.process.yields import trimmed_g
from scheduler.started import as_recorded, dried_on, moved_from, not_on_record, stood_most_s
from scheduler.units import Grams, Racks, Seconds


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
    """What needs a way since that station stopped: charges that it dried, with drying hours left,
    part-lots that it dried or kept cold, and those whose way it was to be."""
    parts = as_recorded(asked, plan) if plan else ()
    return (
        *_fresh(asked, plan, station_id),
        *under(asked, parts, station_id),
        *lost_ways(asked, parts, station_id),
    )


def _stop_under(asked: Asked, run: Run | StartedRun, now: datetime) -> Outage | None:
    for outage in asked.happened.outages:
        under = run.start <= outage.stopped < run.end
        if outage.station_id == run.dryer_id and under and outage.stopped <= now:
            return outage
    return None


def _as_started(run: Run) -> StartedRun:
    charges = tuple(StartedCharge(each.note_id, each.racks) for each in run.charges)
    return StartedRun(run.dryer_id, run.set_point_c, run.start, run.end, charges)


def _fresh(asked: Asked, plan: Plan | None, station_id: str) -> Iterator[Stopped]:
    """What was in that dryer and is no part-lot yet."""
    now, again = asked.happened.now, dried_on(asked, plan) if plan else {}
    known = {(each.note_id, each.stopped) for each in (plan.part_lots if plan else ())}
    for run in asked.happened.runs:
        ours = run.dryer_id == station_id and run not in again
        stop = _stop_under(asked, run, now) if now and ours else None
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
    own = [(each, c) for each in fresh for c in each.charges if c.note_id == note.id]
    every = [c.racks for each, c in own if _came_from(asked, plan, each, charge=c) is None]
    left_s = hours_left(card.drying_s - dried_s)
    yield Stopped(
        note=note,
        card=card,
        racks=charge.racks,
        prepared_g=Grams(prepared * charge.racks // max(1, sum(every))),
        set_point_c=run.set_point_c,
        dryer=asked.kitchen.dryer(run.dryer_id),
        station_id=run.dryer_id,
        at=at,
        left_s=left_s,
        water_percent=water_after(card, dried_s),
        stood_s=_stood_s(asked, plan, run=run, charge=charge),
        stood_most_s=stood_most_s(asked.kitchen),
        moved=tuple(_moved(asked, plan, run, charge=charge, left_s=left_s)),
    )


def _moved(
    asked: Asked, plan: Plan | None, run: StartedRun, *, charge: StartedCharge, left_s: Seconds
) -> Iterator[tuple[Racks, DriesOn]]:
    """Its racks that somebody put into runs on record since it stopped."""
    left = charge.racks
    for each in sorted(asked.happened.runs, key=lambda each: each.start):
        for own in each.charges if left else ():
            came = _came_from(asked, plan, each, charge=own)
            if own.note_id == charge.note_id and came is not None and came[1] == run:
                racks, start = min(left, own.racks), up(each.start)
                end = max(up(each.end), start + timedelta(seconds=left_s))
                left = Racks(left - racks)
                yield Racks(racks), DriesOn(each.dryer_id, each.set_point_c, start, end)


def _came_from(
    asked: Asked, plan: Plan | None, run: StartedRun, *, charge: StartedCharge
) -> tuple[StartedCharge, StartedRun, datetime] | None:
    """The stopped run that racks on record were in before; None for those that were planned there,
    or of which it is written how long they stood before any run."""
    planned = (
        each.dryer_id == run.dryer_id and own.note_id == charge.note_id
        for each, own in (plan.charges() if plan else ())
    )
    if charge.stood_s is not None or any(planned):
        return None
    parts = plan.part_lots if plan else ()
    return moved_from(asked, run, note_id=charge.note_id, parts=parts)


def _stood_s(
    asked: Asked, plan: Plan | None, *, run: StartedRun, charge: StartedCharge
) -> Seconds | None:
    """As written down; else from the first basket cut, as planned, to the start of the run as it
    was; else, of what an earlier stop left, from that on; None where neither tells. Of several
    charges in that dryer the nearest planned is meant, however late it began."""
    if charge.stood_s is not None:
        return charge.stood_s
    own = [
        (abs(planned.start - run.start), each.preparation)
        for planned, each in (plan.charges() if plan else ())
        if each.note_id == charge.note_id and planned.dryer_id == run.dryer_id
    ]
    _, made = min(own, key=lambda each: each[0], default=(None, None))
    if made is None:
        return _stood_since_s(asked, plan, run, charge=charge)
    return Seconds(max(0, int((run.start - made.cut.start).total_seconds())))


def _stood_since_s(
    asked: Asked, plan: Plan | None, run: StartedRun, *, charge: StartedCharge
) -> Seconds | None:
    """The clock of racks that somebody moved here from a dryer that had stopped."""
    came = _came_from(asked, plan, run, charge=charge)
    if came is None:
        return None
    before, ran, at = came
    stood = _stood_s(asked, plan, run=ran, charge=before)
    most = stood_most_s(asked.kitchen) if stood is None else stood
    return Seconds(most + int((run.start - at).total_seconds()))


def with_parts(plan: Plan, parts: Iterable[PartLot]) -> Plan:
    """The plan with those part-lots, in place of the same racks where they had another way."""
    every = {each.key: each for each in (*plan.part_lots, *parts)}.values()
    stops = ((each, stopped_again(each, every)) for each in every)
    cut = (each if at is None else each.until_stopped(at) for each, at in stops)
    return replace(plan, part_lots=tuple(cut))


def beside(plan: Plan | None, charges: Iterable[Stopped]) -> Plan | None:
    """The plan without the ways of what is to be given another one."""
    if plan is None:
        return None
    again = {each.was.key: each.at for each in charges if each.was}
    parts = (
        each.until_stopped(again[each.key]) if each.key in again else each
        for each in plan.part_lots
        if again.get(each.key) != each.stopped
    )
    return replace(plan, part_lots=tuple(parts))
