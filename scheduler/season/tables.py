"""The tables behind the board paper: one row a record or a sum, whole amounts as exact decimals."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

from scheduler.domain.rules import TITLES
from scheduler.season.bills import BillLine, Invoice, invoices
from scheduler.season.counts import lots, ran, told_of, waiting
from scheduler.season.figures import SCALE, Figure
from scheduler.season.patronage import Patronage
from scheduler.season.records import Season
from scheduler.season.sheets import Table, Value, decimal, rows
from scheduler.season.turns import MemberLine, turn_before
from scheduler.units import HOUR

GRAMS = 1000
MINOR = 100
PLACES, CENT = Decimal("0.0001"), Decimal("0.01")


def _hours(seconds: int) -> Decimal:
    return decimal(seconds, HOUR).quantize(PLACES)


def _money(minor: int) -> Decimal:
    return decimal(minor, MINOR).quantize(CENT)


def measures_table(figures: Iterable[Figure]) -> Table:
    """Seconds, grams and minor units stand beside what they are shown as, so that sums are
    exact."""
    return Table(
        "measures", "Measures",
        ("measure", "share", "numerator", "denominator", "unit", "of unit", "numerator raw",
         "denominator raw", "what is divided", "by what", "from", "to", "meaning", "footnote"),
        rows(
            (
                each.definition.name, Decimal(str(round(each.share, 6))),
                _amount(each.numerator, each.definition.unit),
                _amount(each.denominator, each.definition.of),
                each.definition.unit, each.definition.of, each.numerator, each.denominator,
                each.definition.numerator, each.definition.denominator,
                each.period.start.isoformat(), each.period.end.isoformat(),
                each.definition.meaning, each.definition.footnote,
            )
            for each in figures
        ),
    )  # fmt: skip


def _amount(amount: int, unit: str) -> Decimal:
    scale = SCALE.get(unit, HOUR)  # type: ignore[call-overload] # any unit's name
    return decimal(amount, scale).quantize(PLACES)


def members_table(season: Season, lines: Iterable[MemberLine]) -> Table:
    return Table(
        "members", "Turns and shares",
        ("grower", "name", "shares", "notes", "asked kg", "placed kg", "refused kg",
         "refused notes", "longest run of refusals", "moved", "rack-hours", "of them by night",
         "rack-hours a share", "rack-seconds"),
        rows(
            (
                each.grower_id, season.weeks[-1].asked.grower(each.grower_id).name, each.shares,
                each.notes, decimal(each.asked_g, GRAMS), decimal(each.placed_g, GRAMS),
                decimal(each.refused_g, GRAMS),
                each.refused, each.longest, each.moved, _hours(each.rack_s),
                _hours(each.night_rack_s), Decimal(str(round(float(each.per_share), 4))),
                each.rack_s,
            )
            for each in lines
        ),
    )  # fmt: skip


def ledger_table(season: Season) -> Table:
    """Whose turn it was in each week, first to last, and the sums that say why (goal B)."""
    return Table(
        "ledger", "Whose turn it was",
        ("week", "turn", "grower", "shares", "bumped in her last week", "rack-hours so far",
         "rack-hours a share", "refused so far"),
        rows(_turns(season)),
    )  # fmt: skip


def _turns(season: Season) -> Iterator[tuple[Value, ...]]:
    for week in season.weeks:
        for place, line in enumerate(turn_before(season, week.week), 1):
            yield (
                str(week.week), place, line.grower_id, line.shares,
                "yes" if line.bumped_last else "no", _hours(line.rack_s),
                Decimal(str(round(float(line.per_share), 4))), line.refused,
            )  # fmt: skip


def bills_table(season: Season) -> Table:
    """Every line of every invoice with the record behind it; from, to: the days of the month that
    the season has."""
    table = lines_table(invoices(season))
    days = [_days(season, line.month) for each in invoices(season) for line in each.lines]
    return _dated(table, days)


def _dated(table: Table, days: Iterable[tuple[date, date]]) -> Table:
    """With the days behind the month: a period of weeks may have a part of it alone."""
    return replace(
        table,
        columns=(table.columns[0], "from", "to", *table.columns[1:]),
        rows=tuple((row[0], *span, *row[1:]) for row, span in zip(table.rows, days, strict=True)),
    )


def _days(season: Season, month: date) -> tuple[date, date]:
    """First and last day of the month that lie in the season."""
    end = (month + timedelta(days=31)).replace(day=1) - timedelta(days=1)
    return max(season.first, month), min(season.last, end)


def lines_table(found: Iterable[Invoice]) -> Table:
    return Table(
        "invoices", "Invoices",
        ("month", "grower", "note", "lot", "crop", "what", "quantity", "price", "amount",
         "record"),
        rows(_bill(line) for invoice in found for line in invoice.lines),
    )  # fmt: skip


def _bill(line: BillLine) -> tuple[Value, ...]:
    quantity = Decimal(line.fee.quantity.numerator) / Decimal(line.fee.quantity.denominator)
    return (
        f"{line.month:%Y-%m}", line.grower_id, line.note_id, line.lot_code, line.crop,
        line.fee.what, quantity.quantize(PLACES), _money(line.fee.price),
        _money(line.amount), line.record,
    )  # fmt: skip


def totals_table(season: Season) -> Table:
    found = invoices(season)
    table = Table(
        "invoice totals", "Invoices, a line each", ("month", "grower", "lines", "total"),
        rows(
            (f"{each.month:%Y-%m}", each.grower_id, len(each.lines), _money(each.total))
            for each in found
        ),
    )  # fmt: skip
    return _dated(table, (_days(season, each.month) for each in found))


def patronage_table(parts: Iterable[Patronage]) -> Table:
    return Table(
        "patronage", "Surplus by rack-hours",
        ("grower", "rack-hours", "allotted", "paid", "retained"),
        rows(
            (each.grower_id, _hours(each.rack_s), _money(each.allotted),
             _money(each.paid), _money(each.retained))
            for each in parts
        ),
    )  # fmt: skip


def lots_table(season: Season) -> Table:
    zone = season.zone
    return Table(
        "lots", "Lots",
        ("lot", "note", "grower", "crop", "expected", "came", "told kg", "weighed kg", "bags",
         "held", "discarded kg dried"),
        rows(
            (
                lot.code, lot.note_id, (note := week.asked.note(lot.note_id)).grower_id,
                week.asked.card(note.card_id).name, note.arrives.astimezone(zone),
                lot.came.astimezone(zone), decimal(told_of(week, lot), GRAMS),
                decimal(lot.weighed_g, GRAMS), lot.bags, "yes" if lot.held else "no",
                decimal(lot.discarded_g, GRAMS),
            )
            for week, lot in lots(season)
        ),
    )  # fmt: skip


def runs_table(season: Season) -> Table:
    zone = season.zone
    return Table(
        "runs", "Runs",
        ("week", "run", "dryer", "start", "end of drying", "racks", "lots", "rack-hours",
         "rack-seconds", "on record", "dried again"),
        rows(
            (
                str(week.week), each.run.id, each.run.dryer_id, each.run.start.astimezone(zone),
                each.run.end.astimezone(zone), each.run.racks,
                " + ".join(charge.code for charge in each.run.charges), _hours(each.rack_s),
                each.rack_s, "yes" if each.on_record else "no", "yes" if each.again else "no",
            )
            for week, each in ran(season)
        ),
    )  # fmt: skip


def refused_table(season: Season) -> Table:
    return Table(
        "refused", "Refused and waiting",
        ("week", "note", "grower", "crop", "asked kg", "without a place kg", "all of it", "rule",
         "title", "reason"),
        rows(_refused(season)),
    )  # fmt: skip


def _refused(season: Season) -> Iterator[tuple[Value, ...]]:
    for week in season.weeks:
        told = {each.note_id: each for each in week.plan.waiting}
        for note, left, whole in waiting(week):
            why = told.get(note.id)
            rule = why.rule if why else None
            yield (
                str(week.week), note.id, note.grower_id, week.asked.card(note.card_id).name,
                decimal(note.field_g, GRAMS), decimal(left, GRAMS), "yes" if whole else "no", rule,
                TITLES.get(rule or 0, ""), why.reason if why else "",
            )  # fmt: skip


OF_RECORDS = (ledger_table, totals_table, bills_table, refused_table, runs_table, lots_table)
