"""Runs that had started before the plan was made, in the form of planned ones."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from scheduler.domain.asked import Asked
from scheduler.domain.kitchen import Kitchen
from scheduler.domain.outage import StartedCharge, StartedRun
from scheduler.domain.part_lot import DriesOn, PartLot
from scheduler.domain.plan import Charge, Plan, Run
from scheduler.process.yields import trimmed_g
from scheduler.units import Grams, Seconds


def all_runs(asked: Asked, plan: Plan) -> tuple[Run, ...]:
    """Every run of the week in order of start, those already started and those of part-lots
    included."""
    begun, known = enumerate(asked.happened.runs, 1), dried_on(asked, plan)
    started = (_as_run(asked, number, run) for number, run in begun if run not in known)
    parts = _of_part_lots(asked, plan, {on: run for run, on in known.items()})
    every = (*started, *parts, *plan.runs)
    return tuple(sorted(every, key=lambda run: (run.start, run.dryer_id)))


def dried_on(asked: Asked, plan: Plan) -> dict[StartedRun, DriesOn]:
    """Runs on record in which part-lots dried on, with what was planned: the nearest one in that
    dryer of a part-lot whose note it holds, whenever it started."""
    found: dict[StartedRun, DriesOn] = {}
    for run in asked.happened.runs:
        notes = {each.note_id for each in run.charges}
        planned = [
            part.dries_on
            for part in plan.part_lots
            if part.note_id in notes and part.stopped < run.start
            if part.dries_on and part.dries_on.dryer_id == run.dryer_id
        ]
        if planned:
            found[run] = min(planned, key=lambda each: abs(each.start - run.start))
    return found


def as_recorded(asked: Asked, plan: Plan) -> tuple[PartLot, ...]:
    """Its part-lots, drying on when they really did where that is on record; of several runs on
    record the first."""
    known = sorted(dried_on(asked, plan).items(), key=lambda each: each[0].start, reverse=True)
    ran = {on: run for run, on in known}
    return tuple(
        replace(part, dries_on=replace(on, start=ran[on].start, end=ran[on].end))
        if (on := part.dries_on) in ran
        else part
        for part in plan.part_lots
    )


def _of_part_lots(asked: Asked, plan: Plan, known: Mapping[DriesOn, StartedRun]) -> Iterator[Run]:
    """Runs in which part-lots dry on; several may share one. As they were, where on record."""
    runs = dict.fromkeys(part.dries_on for part in plan.part_lots if part.dries_on)
    for number, planned in enumerate(runs, 1):
        charges, first, run = [], 1, known.get(planned, planned)
        end = stopped_early(asked, run)
        for part in plan.part_lots:
            if part.dries_on == planned:
                note = asked.note(part.note_id)
                code, racks = (part.note_id, part.letter), part.racks
                charges.append(Charge(*code, racks, first, note.field_g, part.prepared_g))
                first += racks
        yield Run(
            id=f"part-lots {number}",
            dryer_id=run.dryer_id,
            set_point_c=run.set_point_c,
            start=run.start,
            end=end,
            released=_released(asked, end),
            unload=None,
            wash_down=None,
            charges=tuple(charges),
        )


def not_on_record(asked: Asked, plan: Plan) -> tuple[Run, ...]:
    """Planned runs that nobody has written down."""
    known = on_record(plan.runs, asked.happened.runs)
    return tuple(each for each in plan.runs if each.id not in known)


def on_record(planned: Iterable[Run], started: Sequence[StartedRun]) -> dict[str, int]:
    """By id of a planned run the place of the started one that stands for it: each for the nearest
    of its dryer that shares a note with it, whenever it started."""
    left, found = list(planned), dict[str, int]()
    for place in sorted(range(len(started)), key=lambda each: started[each].start):
        run = started[place]
        alike = [each for each in left if each.dryer_id == run.dryer_id and _share(each, run)]
        if alike:
            nearest = min(alike, key=lambda each: abs(each.start - run.start))
            left.remove(nearest)
            found[nearest.id] = place
    return found


def _share(planned: Run, run: StartedRun) -> bool:
    names = {each.note_id for each in planned.charges}
    return any(each.note_id in names for each in run.charges)


def stood_most_s(kitchen: Kitchen) -> Seconds:
    """How long at the worst a charge stood cut before its run, where nobody knows: the longest
    waits of rule 9. When it was to arrive does not bound that; it may have come earlier."""
    limits = kitchen.limits
    return max(limits.cut_to_dryer_s, Seconds(limits.cut_to_steam_s + limits.steam_to_dryer_s))


def moved_from(
    asked: Asked, run: StartedRun | Run, *, note_id: str, parts: Iterable[PartLot]
) -> tuple[StartedCharge, StartedRun, datetime] | None:
    """The charge of that note before it, with its run, if the dryer of that had stopped under it:
    its racks dry on here, and when they stopped; the last of several. None where part-lots tell of
    that stop."""
    before = [
        (charge, each, at)
        for each in asked.happened.runs
        for charge in each.charges
        if charge.note_id == note_id and each.start < run.start
        if (at := stopped_early(asked, each)) < each.end and at <= run.start
    ]
    last = max(before, key=lambda each: each[1].start, default=None)
    known = {(each.note_id, each.stopped) for each in parts}
    return None if last is None or (note_id, last[2]) in known else last


def stopped_early(asked: Asked, run: StartedRun | DriesOn) -> datetime:
    """The end of drying: as planned, or when its dryer stopped under it."""
    stops = (
        outage.stopped
        for outage in asked.happened.outages
        if outage.station_id == run.dryer_id and outage.stopped >= run.start
    )
    return min([run.end, *stops])


def _as_run(asked: Asked, number: int, started: StartedRun) -> Run:
    end = stopped_early(asked, started)
    charges, first = [], 1
    for each in started.charges:
        note = asked.note(each.note_id)
        prepared = trimmed_g(note.field_g, asked.card(note.card_id).trim_loss_percent)
        charges.append(Charge(note.id, "", each.racks, first, note.field_g, Grams(prepared)))
        first += each.racks
    return Run(
        id=f"started {number}",
        dryer_id=started.dryer_id,
        set_point_c=started.set_point_c,
        start=started.start,
        end=end,
        released=_released(asked, end),
        unload=None,
        wash_down=None,
        charges=tuple(charges),
    )


def _released(asked: Asked, end: datetime) -> datetime:
    staffed = asked.staffed()
    if any(span.holds(end) for span in staffed):
        return end
    return min((span.start for span in staffed if span.start >= end), default=end)
