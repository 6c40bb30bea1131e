"""Lines of a day at the dryers and after them: start, end, unload, wash-down, dry check, pack."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from scheduler.day_sheet.context import Context
from scheduler.day_sheet.sampling import sample_racks
from scheduler.day_sheet.sheet import Line
from scheduler.domain.clock import Span
from scheduler.domain.outage import Outage
from scheduler.domain.plan import AfterDryer, Charge, Run
from scheduler.wording import clock, clock_from, count, duration, plain, temperature


def dryer(day: Context, run: Run) -> Iterator[Line]:
    """What that day does to one run; an end has its own line only where unloading comes later."""
    if day.today(run.start):
        yield _start(day, run)
    if run.unload and run.end == run.released < run.unload.start and day.today(run.end):
        yield _end(day, run, run.unload)
    if day.today(run.unload.start if run.unload else run.released):
        yield _unload(day, run)
    if run.wash_down and day.today(run.wash_down.start):
        yield _wash_down(day, run, run.wash_down)


def _start(day: Context, run: Run) -> Line:
    unit = day.asked.kitchen.temperature_unit
    dries = duration(int((run.end - run.start).total_seconds()))
    end, released = day.local(run.end), day.local(run.released)
    hold = f", cool hold to {clock_from(released, end.date())}"
    return Line(
        at=day.local(run.start),
        until=None,
        station_id=run.dryer_id,
        act="start",
        lots=day.lots(run),
        amount=f"{count(run.racks, 'rack')}, {temperature(run.set_point_c, unit)}, {dries}",
        who=(),
        remark=f"ends {clock_from(end, day.day)}" + (hold if released > end else ""),
    )


def _end(day: Context, run: Run, span: Span) -> Line:
    return Line(
        at=day.local(run.end),
        until=None,
        station_id=run.dryer_id,
        act="end",
        lots=day.lots(run),
        amount=count(run.racks, "rack"),
        who=(),
        remark=f"unload at {clock(day.local(span.start))}",
    )


def _unload(day: Context, run: Run) -> Line:
    since = f"cool hold since {clock_from(day.local(run.end), day.day)}"
    return Line(
        at=day.local(run.unload.start if run.unload else run.released),
        until=day.local(run.unload.end) if run.unload else None,
        station_id=run.dryer_id,
        act="unload",
        lots=day.lots(run),
        amount=count(run.racks, "rack"),
        who=day.on_duty("unload", run.id),
        remark=since if run.released > run.end else "",
    )


def _wash_down(day: Context, run: Run, span: Span) -> Line:
    following = (each for each in day.runs() if each.dryer_id == run.dryer_id)
    after = next((each for each in following if each.start >= span.end), None)
    before = f", before {', '.join(lot.code for lot in day.lots(after))}" if after else ""
    return Line(
        at=day.local(span.start),
        until=day.local(span.end),
        station_id=run.dryer_id,
        act="wash-down",
        lots=(),
        amount="",
        who=day.on_duty("wash-down", run.id),
        remark=f"full{before}",
    )


def checks_and_packing(day: Context, run: Run, charge: Charge) -> Iterator[Line]:
    """Dry check and packing turn of one charge, as far as they start that day."""
    after = charge.after
    if after and day.today(after.dry_check.start):
        yield _dry_check(day, run, charge, after)
    if after and day.packs(charge):
        yield _pack(day, charge, after)


def _dry_check(day: Context, run: Run, charge: Charge, after: AfterDryer) -> Line:
    kitchen, limits = day.asked.kitchen, day.card(charge.note_id).dry_check
    racks = sample_racks(charge.first_rack, charge.racks, seed=day.seed(charge))
    closed_by = after.dry_check.start - timedelta(seconds=kitchen.limits.sample_closed_s)
    return Line(
        at=day.local(after.dry_check.start),
        until=day.local(after.dry_check.end),
        station_id=kitchen.meters[0].id if kitchen.meters else "",
        act="dry check",
        lots=(day.label(charge.note_id, charge.letter),),
        amount=f"racks {', '.join(str(rack) for rack in racks)}",
        who=day.on_duty("dry check", charge.code),
        remark=f"closed by {clock(day.local(closed_by))}; at most aw "
        f"{limits.most_water_activity:.2f}, {plain(limits.most_moisture_percent, decimals=1)} %",
        sample_racks=racks,
    )


def _pack(day: Context, charge: Charge, after: AfterDryer) -> Line:
    card = day.card(charge.note_id)
    return Line(
        at=day.local(after.packing.start),
        until=day.local(after.packing.end),
        station_id=after.bench_id,
        act="pack",
        lots=(day.label(charge.note_id, charge.letter),),
        amount=f"{count(after.bags, 'bag')} of {card.bag_g:,} g",
        who=(day.grower(charge.note_id).name,),
        remark="once passed; check the label first",
    )


def stopped_and_back(day: Context, outage: Outage) -> Iterator[Line]:
    """A station that stops or returns that day."""
    if day.today(outage.stopped):
        back = f"back {clock_from(day.local(outage.back), day.day)}" if outage.back else ""
        remark = "; ".join(filter(None, (outage.cause, back)))
        yield Line(day.local(outage.stopped), None, outage.station_id, "down", (), "", (), remark)
    if outage.back and day.today(outage.back):
        yield Line(day.local(outage.back), None, outage.station_id, "up", (), "", (), "")
