"""Invoices by grower and month: fee lines of the kitchen file, each with the record behind it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from fractions import Fraction

from scheduler.domain.clock import Span, local_instant
from scheduler.domain.plan import Charge
from scheduler.process.money import FeeLine, Usage, fee_lines, total, usage_of
from scheduler.season.records import Gone, Posted, Ran, Season, WeekRecord
from scheduler.season.turned_away import turned_away
from scheduler.wording import clock, clock_from, count


@dataclass(frozen=True, slots=True)
class BillLine:
    """One line. month: its first day; amount in minor units: fee.quantity x fee.price, rounded to
    the nearest. record: where it can be looked up."""

    grower_id: str
    month: date
    note_id: str
    lot_code: str
    crop: str
    fee: FeeLine
    record: str

    @property
    def amount(self) -> int:
        return self.fee.amount


@dataclass(frozen=True, slots=True)
class Invoice:
    """What a grower owes for a month."""

    grower_id: str
    month: date
    lines: tuple[BillLine, ...]

    @property
    def total(self) -> int:
        return sum(each.amount for each in self.lines)


def bill_lines(season: Season) -> tuple[BillLine, ...]:
    """All lines of all growers, in order of run start. A charge belongs to the month in which its
    run started, whatever else of it lies before or after."""
    return tuple(line for week in season.weeks for line in _week(week))


def invoices(season: Season) -> tuple[Invoice, ...]:
    """By month, then by grower; who owes nothing has none."""
    found: dict[tuple[date, str], list[BillLine]] = {}
    for line in bill_lines(season):
        found.setdefault((line.month, line.grower_id), []).append(line)
    return tuple(
        Invoice(grower_id, month, tuple(lines))
        for (month, grower_id), lines in sorted(found.items())
    )


def _week(week: WeekRecord) -> Iterator[BillLine]:
    for ran in sorted(week.ran, key=lambda each: (each.run.start, each.run.dryer_id)):
        for charge in ran.run.charges:
            yield from _charge(week, ran, charge)
    for gone in week.gone:
        yield from _gone(week, gone)


def _charge(week: WeekRecord, ran: Ran, charge: Charge) -> Iterator[BillLine]:
    asked, run = week.asked, ran.run
    note, lot = asked.note(charge.note_id), week.lot_of(charge.note_id)
    made = charge.preparation
    if lot and made and lot.came < made.cut.start:
        note = replace(note, arrives=lot.came)
    if ran.again:  # the rest was done, and is charged, the first time
        usage = Usage(racks=((charge.racks, Span(run.start, run.end)),))
    else:
        usage = usage_of(
            note, asked.card(note.card_id), asked.kitchen.cold_store, placed=[(run, charge)]
        )
    member = asked.grower(note.grower_id).shares > 0
    fees = fee_lines(usage, asked.kitchen.fees, zone=asked.kitchen.zone, member=member)
    records = _Records(week, ran, charge)
    for fee in fees:
        yield BillLine(
            note.grower_id, month_of(week, run.start), note.id, lot.code if lot else "",
            asked.card(note.card_id).name, fee, records.of(fee.what),
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Records:
    """Where the lines of one charge can be looked up, in words."""

    week: WeekRecord
    ran: Ran
    charge: Charge

    def of(self, what: str) -> str:
        made, after = self.charge.preparation, self.charge.after
        if what.startswith("rack-hours"):
            return self._run()
        if what.startswith("table") and made:
            tables = ", ".join(each.table_id for each in made.tables)
            return f"{self._code}: {tables}, {self._when(made.cut)}, as posted"
        if what.startswith("steam") and made:
            return f"{self._code}: first load {self._at(made.steam_loads[0].start)}, as posted"
        if what.startswith("crate") and made:
            lot = self.week.lot_of(self.charge.note_id)
            came = "weighed in" if lot else "expected"
            start = lot.came if lot else self.week.asked.note(self.charge.note_id).arrives
            return f"{self._code}: {came} {self._at(start)}, cut {self._at(made.cut.start)}"
        if what.startswith("bench") and after:
            return f"{self._code}: {after.bench_id}, {self._when(after.packing)}, as posted"
        return f"{self._code}: on the lines above"

    @property
    def _code(self) -> str:
        return self.charge.code

    def _run(self) -> str:
        run = self.ran.run
        kept = "on record" if self.ran.on_record else "as posted"
        again = ", dried again" if self.ran.again else ""
        racks = count(self.charge.racks, "rack")
        when = self._when(Span(run.start, run.end))
        return f"{self._code}: run {run.id} in {run.dryer_id}, {racks}, {when}, {kept}{again}"

    def _at(self, at: datetime) -> str:
        local = at.astimezone(self.week.kitchen.zone)
        return f"{local:%Y-%m-%d} {clock(local)}"

    def _when(self, span: Span) -> str:
        start, end = (each.astimezone(self.week.kitchen.zone) for each in (span.start, span.end))
        return f"{start:%Y-%m-%d} {clock(start)} to {clock_from(end, start.date())}"


def _gone(week: WeekRecord, gone: Gone) -> Iterator[BillLine]:
    """Late or nobody there: a part of the dryer fee, and only if somebody else was turned away."""
    fees, promised = week.kitchen.fees, _promised(week, gone.note_id)
    late = gone.how == "no-show" or _late(week, promised, gone)
    percent = fees.no_show_percent if gone.how == "no-show" else fees.late_percent
    if promised is None or not late or not percent:
        return
    note = promised.asked.note(gone.note_id)
    placed = [each for each in promised.plan.charges() if each[1].note_id == gone.note_id]
    away = [
        (run, charge, out)
        for run, charge in placed
        if (out := turned_away(week, run, charge, of=note.grower_id))
    ]
    if not away:
        return
    racks = tuple((charge.racks, Span(run.start, run.end)) for run, charge, _ in away)
    member = promised.asked.grower(note.grower_id).shares > 0
    fee = total(fee_lines(Usage(racks=racks), fees, zone=week.kitchen.zone, member=member))
    what = "no-show" if gone.how == "no-show" else "let go late"
    turned = ", ".join(sorted({one for *_, out in away for one in out}))
    yield BillLine(
        note.grower_id, month_of(week, away[0][0].start), note.id, "",
        promised.asked.card(note.card_id).name,
        FeeLine(f"{what}, of the dryer fee", Fraction(percent, 100), fee),
        f"{note.id}: {gone.how} {gone.at.astimezone(week.kitchen.zone):%Y-%m-%d %H:%M};"
        f" turned away: {turned}",
    )  # fmt: skip


def _promised(week: WeekRecord, note_id: str) -> Posted | None:
    """The last posted plan in which it had a place."""
    had = (
        each
        for each in reversed(week.posted)
        if any(charge.note_id == note_id for _, charge in each.plan.charges())
    )
    return next(had, None)


def _late(week: WeekRecord, promised: Posted | None, gone: Gone) -> bool:
    if promised is None:
        return False
    zone = week.kitchen.zone
    arrives = promised.asked.note(gone.note_id).arrives.astimezone(zone).date()
    eve = arrives - timedelta(days=1)
    return gone.at > local_instant(eve, time(week.kitchen.fees.cancel_by_hour), zone)


def month_of(week: WeekRecord, at: datetime) -> date:
    """First day of the month, by the kitchen's clock."""
    return at.astimezone(week.kitchen.zone).date().replace(day=1)


def income(lines: Iterable[BillLine]) -> int:
    """Sum in minor units."""
    return sum(each.amount for each in lines)
