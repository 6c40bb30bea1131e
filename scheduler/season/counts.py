"""Sums over the raw records of a season, in whole seconds, grams and pieces."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import timedelta

from scheduler.domain.clock import Span, without
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.kitchen import Kitchen
from scheduler.domain.plan import Charge, Duty, Plan
from scheduler.measures import is_whole, stopped_for
from scheduler.process.money import night_rack_s
from scheduler.process.yields import dried_g
from scheduler.season.records import LotRecord, Ran, Season, WeekRecord, between
from scheduler.units import DAY, Grams

IN_TIME = timedelta(hours=1)  # demo: how late a lot may come and still be in time


def ran(season: Season) -> Iterator[tuple[WeekRecord, Ran]]:
    return ((week, each) for week in season.weeks for each in week.ran)


def dryer_s(season: Season) -> int:
    return sum(each.seconds for _, each in ran(season))


def loaded_s(season: Season) -> int:
    return sum(each.rack_s for _, each in ran(season))


def could_load_s(season: Season) -> int:
    """Racks of the dryers while they dried, whether loaded or not."""
    return sum(
        week.kitchen.dryer(each.run.dryer_id).racks * each.seconds for week, each in ran(season)
    )


def by_night_s(season: Season) -> int:
    return sum(
        night_rack_s(
            each.run.racks, Span(each.run.start, each.run.end), week.kitchen.fees, zone=season.zone
        )
        for week, each in ran(season)
    )


def open_days(season: Season, week: WeekRecord) -> int:
    days = (day for day in week.week.days if season.first <= day <= season.last)
    return sum(bool(week.kitchen.staffed_spans((day,))) for day in days)


def dryers_open_s(season: Season) -> int:
    return sum(len(week.kitchen.dryers) * open_days(season, week) * DAY for week in season.weeks)


def racks_open_s(season: Season) -> int:
    return sum(rack_open_s(season, week) for week in season.weeks)


def rack_open_s(season: Season, week: WeekRecord) -> int:
    return racks(week.kitchen) * open_days(season, week) * DAY


def racks(kitchen: Kitchen) -> int:
    return sum(dryer.racks for dryer in kitchen.dryers)


def staffed_s(week: WeekRecord) -> int:
    return sum(each.seconds for each in week.kitchen.staffed_spans(week.week.days))


def table_s(season: Season) -> int:
    return sum(
        len(made.tables) * made.cut.seconds
        for week in season.weeks
        for _, charge in week.charges()
        if (made := charge.preparation)
    )


def tables_staffed_s(season: Season) -> int:
    return sum(len(week.kitchen.tables) * staffed_s(week) for week in season.weeks)


def steamer_s(season: Season) -> int:
    return sum(
        Span(load.start, load.end).seconds
        for week in season.weeks
        for _, charge in week.charges()
        if charge.preparation
        for load in charge.preparation.steam_loads
    )


def steamers_staffed_s(season: Season) -> int:
    return sum(len(week.kitchen.steamers) * staffed_s(week) for week in season.weeks)


def duty_s(season: Season) -> int:
    """Of hands by name; growers' own pairs have duties too, which are not counted."""
    return sum(
        duty.span.seconds
        for week in season.weeks
        for duty in _duties(week)
        if duty.who in {hand.name for hand in week.kitchen.hands}
    )


def _duties(week: WeekRecord) -> Iterator[Duty]:
    """Those of the last posted plan; of lots that ran and had begun before it was posted, those of
    the last plan that had them."""
    yield from week.plan.duties
    left = {charge.note_id for _, charge in week.charges(again=False)}
    left -= _placed(week.plan)
    for earlier in reversed(week.posted[:-1]):
        own = left & _placed(earlier.plan)
        subjects = {charge.code for _, charge in earlier.plan.charges() if charge.note_id in own}
        subjects |= {
            run.id for run in earlier.plan.runs if {each.note_id for each in run.charges} <= own
        }
        yield from (duty for duty in earlier.plan.duties if duty.subject in subjects)
        left -= own


def _placed(plan: Plan) -> set[str]:
    return {charge.note_id for _, charge in plan.charges()}


def shift_s(season: Season) -> int:
    return sum(
        span.seconds
        for week in season.weeks
        for hand in week.kitchen.hands
        for span in week.kitchen.shifts(hand, week.week.days)
    )


def waiting(week: WeekRecord) -> Iterator[tuple[HarvestNote, Grams, bool]]:
    """Each note without a whole place: field weight without one, and whether that is all of it.

    A place that is still to come is one. What each split charge rounds away, a gram at most, waits
    for nothing.
    """
    placed: dict[str, list[Charge]] = {}
    for charge in (*(each for _, each in week.charges(again=False)), *week.to_come()):
        placed.setdefault(charge.note_id, []).append(charge)
    for note in week.notes():
        own = placed.get(note.id, [])
        if not is_whole(note, own):
            yield note, Grams(note.field_g - sum(each.field_g for each in own)), not own


def asked_g(season: Season) -> int:
    return sum(note.field_g for week in season.weeks for note in week.notes())


def refused_g(season: Season) -> int:
    return sum(left for week in season.weeks for _, left, whole in waiting(week) if whole)


def waited_g(season: Season) -> int:
    return sum(left for week in season.weeks for _, left, whole in waiting(week) if not whole)


def lots(season: Season) -> Iterator[tuple[WeekRecord, LotRecord]]:
    return ((week, lot) for week in season.weeks for lot in week.lots)


def told_g(season: Season) -> int:
    return sum(told_of(week, lot) for week, lot in lots(season))


def told_of(week: WeekRecord, lot: LotRecord) -> Grams:
    """Field weight as told before the lot came: the door writes over the note's own."""
    return week.asked.note(lot.note_id).field_g if lot.told_g is None else lot.told_g


def charge_dried_g(week: WeekRecord, charge: Charge) -> int:
    card = week.asked.card(week.asked.note(charge.note_id).card_id)
    return dried_g(
        charge.prepared_g, card.water_in_percent, water_out_percent=card.water_out_percent
    )


def prepared_and_dried(season: Season) -> tuple[int, int, int, int]:
    """Field, prepared and dried grams of all charges, and Wh for the water between them."""
    field = prepared = dried = watt_h = 0
    for week in season.weeks:
        for _, charge in week.charges(again=False):
            came_to = charge_dried_g(week, charge)
            field, prepared = field + charge.field_g, prepared + charge.prepared_g
            dried += came_to
            watt_h += round((charge.prepared_g - came_to) * week.kitchen.kwh_per_kg_water)
    return field, prepared, dried, watt_h


def bags(season: Season) -> tuple[int, int]:
    """Packed, and planned of the same lots."""
    packed = planned = 0
    for week, lot in lots(season):
        if lot.bags is None:
            continue
        packed += lot.bags
        planned += sum(
            charge.after.bags
            for _, charge in week.charges(again=False)
            if charge.note_id == lot.note_id and charge.after
        )
    return packed, planned


def recorded_s(season: Season) -> tuple[int, int]:
    """Drying seconds of runs on record that were posted, and as they were posted."""
    seen = [(each, each.posted) for _, each in ran(season) if each.on_record]
    pairs = [(each.seconds, Span(plan.start, plan.end).seconds) for each, plan in seen if plan]
    return sum(pair[0] for pair in pairs), sum(pair[1] for pair in pairs)


def in_time(season: Season) -> int:
    return sum(
        lot.came <= week.asked.note(lot.note_id).arrives + IN_TIME for week, lot in lots(season)
    )


def down_s(season: Season) -> int:
    """Dryer-seconds stopped, on days open; a dryer that stopped twice at a time once."""
    return sum(_down_s(season, week) for week in season.weeks)


def _down_s(season: Season, week: WeekRecord) -> int:
    days = [
        between(day, day, season.zone)
        for day in week.week.days
        if season.first <= day <= season.last and week.kitchen.staffed_spans((day,))
    ]
    total = 0
    for dryer in week.kitchen.dryers:
        stops = (each for each in week.outages if each.station_id == dryer.id)
        gaps = [stopped_for(each, season.known_until) for each in stops]
        total += _length(days) - _length(without(days, (gap for gap in gaps if gap.seconds)))
    return total


def _length(spans: Iterable[Span]) -> int:
    return sum(each.seconds for each in spans)
