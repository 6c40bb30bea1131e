"""The night after a day, and what lies in the dryers."""

from __future__ import annotations

from scheduler.day_sheet.context import Context
from scheduler.day_sheet.sheet import Band, NightRun, NightSheet, OnCallTonight, RackMap
from scheduler.domain.plan import Run


def night(day: Context) -> NightSheet | None:
    """From closing to the next opening; None where the kitchen is closed or no opening is known."""
    closes = day.closing_of()
    if closes is None:
        return None
    opens = day.opening_after(closes)
    if opens == closes:
        return None
    runs = [run for run in day.runs() if run.start < opens and run.released > closes]
    on_call = tuple(
        OnCallTonight(each.name, each.telephone)
        for each in day.asked.kitchen.on_call
        if each.weekday == day.day.weekday()
    )
    return NightSheet(
        closes=day.local(closes),
        opens=day.local(opens),
        runs=tuple(_night_run(day, run) for run in sorted(runs, key=lambda each: each.end)),
        on_call=on_call,
    )


def _night_run(day: Context, run: Run) -> NightRun:
    held = day.local(run.released) if run.released > run.end else None
    return NightRun(run.dryer_id, day.lots(run), day.local(run.end), held)


def rack_maps(day: Context) -> tuple[RackMap, ...]:
    """What lies where, for each run that is in a dryer at some time of the day."""
    return tuple(_rack_map(day, run) for run in day.runs() if _is_in(day, run))


def _is_in(day: Context, run: Run) -> bool:
    return day.local(run.start).date() <= day.day <= day.local(run.released).date()


def _rack_map(day: Context, run: Run) -> RackMap:
    bands = tuple(
        Band(
            first=charge.first_rack,
            last=charge.first_rack + charge.racks - 1,
            lot=day.label(charge.note_id, charge.letter),
            group=day.card(charge.note_id).group,
        )
        for charge in sorted(run.charges, key=lambda each: each.first_rack)
    )
    return RackMap(
        dryer_id=run.dryer_id,
        racks=day.asked.kitchen.dryer(run.dryer_id).racks,
        start=day.local(run.start),
        end=day.local(run.end),
        released=day.local(run.released),
        bands=bands,
    )
