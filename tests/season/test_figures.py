"""Every measure of a season re-adds to its raw records; counted again here by plain loops."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scheduler.process.yields import dried_g
from scheduler.season.definitions import DEFINITIONS
from scheduler.season.figures import Figure, figures, refused_by_rule
from scheduler.season.records import Posted, Season, between
from scheduler.units import Grams
from tests.season.small import season

QUICK = settings(max_examples=8, deadline=None)
seeds = st.integers(1, 40)


def by_key(found: Season) -> dict[str, Figure]:
    return {each.definition.key: each for each in figures(found)}


def minutes_where(found: Season, inside) -> int:
    """Rack-minutes of all runs at whose minute inside(local clock) holds, minute by minute."""
    total = 0
    for week in found.weeks:
        for each in week.ran:
            now = each.run.start
            while now < each.run.end:
                racks = sum(charge.racks for charge in each.run.charges)
                total += racks * inside(now.astimezone(found.zone))
                now += timedelta(minutes=1)
    return total


def test_every_definition_has_its_figure_in_order():
    assert [each.definition for each in figures(season(1))] == list(DEFINITIONS)
    assert len({each.key for each in DEFINITIONS}) == len(DEFINITIONS)
    assert all(each.meaning.endswith(".") for each in DEFINITIONS)


@QUICK
@given(seeds)
def test_rack_seconds_re_add_to_the_runs(seed: int):
    found = season(seed)
    figure = by_key(found)
    rack_s = sum(
        charge.racks * int((each.run.end - each.run.start).total_seconds())
        for week in found.weeks
        for each in week.ran
        for charge in each.run.charges
    )
    keys = ("rack_use", "rack_use_year", "fill", "night")
    assert [figure[key].numerator for key in keys[:3]] == [rack_s] * 3
    assert figure["night"].denominator == rack_s


@settings(max_examples=4, deadline=None)
@given(seeds)
def test_the_night_is_the_night_minute_by_minute(seed: int):
    found = season(seed)
    night = minutes_where(found, lambda clock: clock.hour >= 19 or clock.hour < 7)
    assert by_key(found)["night"].numerator == 60 * night


@QUICK
@given(seeds)
def test_open_hours_are_racks_times_days_open(seed: int):
    found = season(seed)
    figure = by_key(found)
    racks = dryers = 0
    for week in found.weeks:
        days = {each.weekday for each in week.kitchen.staffed}
        racks += len(days) * 24 * sum(each.racks for each in week.kitchen.dryers)
        dryers += len(days) * 24 * len(week.kitchen.dryers)
    assert figure["rack_use"].shown_denominator == racks
    assert figure["occupied"].shown_denominator == figure["down"].shown_denominator == dryers
    last = found.weeks[-1].kitchen
    assert figure["rack_use_year"].shown_denominator == 8760 * sum(d.racks for d in last.dryers)


@QUICK
@given(seeds)
def test_what_asked_is_placed_refused_or_waited_to_the_gram(seed: int):
    found = season(seed)
    figure = by_key(found)
    placed, refused, waited = (figure[key] for key in ("placed", "refused", "waited"))
    gone = {(week.week, each.note_id) for week in found.weeks for each in week.gone}
    asked = sum(
        note.field_g
        for week in found.weeks
        for note in week.asked.notes
        if (week.week, note.id) not in gone
    )
    assert placed.numerator + refused.numerator + waited.numerator == asked
    assert {each.denominator for each in (placed, refused, waited)} == {asked}
    charges = [charge for week in found.weeks for _, charge in week.charges()]
    on_racks = sum(charge.field_g for charge in charges)
    assert 0 <= placed.numerator - on_racks <= len(charges)  # a gram is rounded away by each
    assert sum(refused_by_rule(found).values()) == refused.numerator + waited.numerator


@QUICK
@given(seeds)
def test_weights_re_add_to_charges_and_lots(seed: int):
    found = season(seed)
    figure = by_key(found)
    prepared = dried = 0
    for week in found.weeks:
        for _, charge in week.charges():
            card = week.asked.card(week.asked.note(charge.note_id).card_id)
            prepared += charge.prepared_g
            dried += dried_g(
                charge.prepared_g, card.water_in_percent, water_out_percent=card.water_out_percent
            )
    lots = [lot for week in found.weeks for lot in week.lots]
    assert (figure["dried"].numerator, figure["dried"].denominator) == (dried, prepared)
    assert figure["water"].numerator == prepared - dried
    assert figure["kg_in"].numerator == sum(lot.weighed_g for lot in lots)
    assert figure["discarded"].numerator == sum(lot.discarded_g for lot in lots)
    assert figure["yields"].numerator == sum(lot.bags or 0 for lot in lots)


@QUICK
@given(seeds)
def test_lots_are_counted_once(seed: int):
    found = season(seed)
    figure = by_key(found)
    again, first = figure["again"], figure["first_pass"]
    assert again.numerator + first.numerator == again.denominator == first.denominator
    assert figure["arrivals"].denominator == sum(len(week.lots) for week in found.weeks)
    on_record = figure["on_record"]
    assert on_record.numerator == sum(each.on_record for week in found.weeks for each in week.ran)


@settings(max_examples=4, deadline=None)
@given(seeds)
def test_stops_take_hours_of_days_open_once(seed: int):
    found = season(seed)
    stopped = 0
    for week in found.weeks:
        for day in week.week.days:
            if not week.kitchen.staffed_spans((day,)):
                continue
            span = between(day, day, found.zone)
            for hour in range(24):
                now = span.start + timedelta(hours=hour)
                down = {o.station_id for o in week.outages if o.back and o.stopped <= now < o.back}
                stopped += len(down)
    assert by_key(found)["down"].numerator == 3600 * stopped


def test_seconds_posted_and_on_record_are_of_the_same_runs():
    found = season(3)
    figure = by_key(found)["hours"]
    seen = [each for week in found.weeks for each in week.ran if each.on_record]
    assert figure.numerator == sum(each.seconds for each in seen)
    posted = sum((each.posted.end - each.posted.start for each in seen if each.posted), timedelta())
    assert figure.denominator == posted.total_seconds()


def test_a_share_is_in_shown_units():
    figure = by_key(season(2))["energy"]
    assert not figure.is_share
    assert figure.share == pytest.approx(float(Fraction(figure.numerator, figure.denominator)))


def test_the_last_week_of_2026_is_of_that_year():
    """W53 ends on 3 January 2027."""
    found = replace(season(1), last=date(2027, 1, 3))
    year = by_key(found)["rack_use_year"].period
    assert year == between(date(2026, 1, 1), date(2026, 12, 31), found.zone)


def test_what_was_told_is_not_what_the_door_wrote_into_the_note():
    found = season(2)
    week = found.weeks[0]
    lot = replace(week.lots[0], told_g=Grams(77_000))
    weeks = (replace(week, lots=(lot, *week.lots[1:])), *found.weeks[1:])
    before, after = (by_key(each)["kg_in"] for each in (found, replace(found, weeks=weeks)))
    note = week.asked.note(lot.note_id)
    assert after.denominator - before.denominator == 77_000 - note.field_g
    assert after.numerator == before.numerator


def test_hands_duties_of_what_had_begun_before_a_mend_are_counted():
    """A second plan is posted once the first run has begun: it has neither that nor its duties."""
    found = season(2)
    week = next(each for each in found.weeks if len(each.plan.runs) > 1 and not each.gone)
    plan, begun = week.plan, {charge.note_id for charge in week.plan.runs[0].charges}
    runs = tuple(
        each for each in plan.runs if not begun & {charge.note_id for charge in each.charges}
    )
    dropped = {each.id for each in plan.runs if each not in runs}
    dropped |= {charge.code for _, charge in plan.charges() if charge.note_id in begun}
    duties = tuple(each for each in plan.duties if each.subject not in dropped)
    assert len(duties) < len(plan.duties)
    mended = Posted(week.asked, replace(plan, runs=runs, duties=duties))
    one = replace(found, weeks=(week,))
    two = replace(found, weeks=(replace(week, posted=(*week.posted, mended)),))
    assert by_key(two)["hands"].numerator == by_key(one)["hands"].numerator > 0
