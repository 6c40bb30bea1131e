"""A dryer stops: what is inside, until when, where it could go; against the invented night."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.outage import Outage, StartedCharge, StartedRun
from scheduler.domain.plan import Plan, Preparation, Run
from scheduler.dryer_down import (
    WARM_C,
    InDryer,
    in_cold_store,
    inside,
    kept_cold,
    next_in,
    waiting_for,
)
from scheduler.emergency import proposals
from scheduler.process.exposure import MOST_EXPOSED, exposure_left_s
from scheduler.process.keeping import keeping_s
from scheduler.scenario import load
from scheduler.started import all_runs
from scheduler.units import HOUR, Racks, Seconds
from tests.builders import at


@pytest.fixture(scope="module")
def night() -> Asked:
    """22:10 on Tuesday; the record keeps what was planned for R09's run (its end is 2:15)."""
    found = load("dryer_down")
    return replace(found, happened=replace(found.happened, outages=()))


@pytest.fixture(scope="module")
def now(night: Asked) -> datetime:
    assert night.happened.now
    return night.happened.now


@pytest.fixture(scope="module")
def standing(night: Asked) -> list[InDryer]:
    return [
        InDryer(night, run, True, run.released)
        for run in all_runs(night, Plan(night.week, "full", (), ()))
    ]


def own_run(standing: list[InDryer], note_id: str) -> Run:
    return next(each.run for each in standing if each.run.charges[0].note_id == note_id)


def prepared(run: Run, *, cut_before: timedelta) -> Run:
    """The run with its charges cut from so long before its start."""
    cut = Span(run.start - cut_before, run.start - cut_before / 2)
    done = Preparation("W1", Span(cut.start - cut_before, cut.start), cut, (), (), cut.end)
    return replace(run, charges=tuple(replace(each, preparation=done) for each in run.charges))


def test_the_cart_dryers_night(standing: list[InDryer], now: datetime):
    """As its README tells: R09 on 40 racks, 10 h 55 min of 15 h done."""
    (found,) = inside(standing, "D3", now)
    assert (found.charge.code, found.charge.racks) == ("R09", 40)
    assert found.left_s == 4 * HOUR + 5 * 60
    assert found.stood_s == 0
    assert found.ask_by == now + timedelta(hours=4)


def test_what_nobody_knows_counts_at_the_worst(
    night: Asked, standing: list[InDryer], now: datetime
):
    runs = (
        replace(run, charges=tuple(replace(each, stood_s=None) for each in run.charges))
        for run in night.happened.runs
    )
    unknown = replace(night, happened=replace(night.happened, runs=tuple(runs)))
    (found,) = inside([replace(each, asked=unknown) for each in standing], "D3", now)
    assert (found.stood_s, found.stood) == (None, 3 * HOUR)
    assert found.ask_by == now + timedelta(hours=1)


def test_part_lots_have_a_clock_where_they_dry_on_and_where_they_are_cold(night: Asked):
    parts = next(proposals(stopped(night), None, "D3", STOP))
    plan = Plan(night.week, "full", (), (), part_lots=parts)
    there = [
        InDryer(night, run, False, run.end, part_lots=parts)
        for run in all_runs(night, plan)
        if run.id.startswith("part-lots")
    ]
    there += kept_cold(night, parts)
    (first,) = inside(there, "D2", at("Wed 02:00"))
    assert (first.charge.code, first.left_s, first.stood_s) == ("R09 A", 3 * HOUR, 110 * 60)
    (second,) = inside(there, "K1", at("Wed 02:00"))
    assert (second.charge.code, second.left_s, second.stood_s) == ("R09 B", 5 * HOUR, 140 * 60)
    assert second.ask_by == at("Wed 03:40")
    assert second.having_stood(Seconds(200 * 60)).ask_by == at("Wed 02:40")
    assert first.part_lot
    assert second.part_lot


def test_it_is_in_the_cold_at_the_instant_until_which_it_is_kept_and_not_after(night: Asked):
    parts = next(proposals(stopped(night), None, "D3", STOP))
    (until,) = (each.held.until for each in parts if each.held and each.held.until)
    there = tuple(kept_cold(night, parts))
    assert [each.charge.code for each in inside(there, "K1", until)] == ["R09 B"]
    assert inside(there, "K1", until + timedelta(minutes=1)) == ()


def test_racks_that_somebody_moved_before_any_mend_keep_their_clock(night: Asked):
    """From D3 to D2 at one: 2 h 50 min since the stop, and what they had stood before."""
    run = StartedRun("D2", 57.0, at("Wed 01:00"), at("Wed 06:00"), (StartedCharge("R09", RACKS),))
    told = stopped(night)
    told = replace(told, happened=replace(told.happened, runs=(*told.happened.runs, run)))
    there = [
        InDryer(told, each, True, None)
        for each in all_runs(told, Plan(told.week, "full", (), ()))
        if each.start == run.start
    ]
    (found,) = inside(there, "D2", at("Wed 02:00"))
    assert found.stood_s == 170 * 60


STOP = at("Tue 22:10")
RACKS = Racks(20)


def stopped(night: Asked) -> Asked:
    stop = Outage("D3", STOP, None)
    return replace(night, happened=replace(night.happened, outages=(stop,)))


def test_what_stood_before_is_taken_off_the_four_hours(standing: list[InDryer], now: datetime):
    run = prepared(own_run(standing, "R09"), cut_before=timedelta(hours=1, minutes=20))
    (found,) = inside([replace(standing[0], run=run, out=None)], "D3", now)
    assert found.stood_s == 80 * 60
    assert found.ask_by == now + timedelta(hours=2, minutes=40)
    long = prepared(run, cut_before=timedelta(hours=5))
    (spent,) = inside([replace(standing[0], run=long, out=None)], "D3", now)
    assert spent.ask_by == now


def test_where_its_racks_could_go(night: Asked, standing: list[InDryer], now: datetime):
    (found,) = inside(standing, "D3", now)
    rooms = {each.dryer.id: each for each in found.rooms}
    assert [rooms[each].hindrance for each in ("D1", "D2")] == ["in use", "in use"]
    d1 = own_run(standing, "R10")
    assert rooms["D1"].free_from == d1.released + timedelta(hours=1)
    takes = night.card("tomato").group in night.kitchen.dryer("D4").groups
    assert rooms["D4"].hindrance == ("" if takes else "group")


def test_rooms_are_those_of_when_racks_would_be_moved(standing: list[InDryer], now: datetime):
    later = max(each.out for each in standing if each.out) + timedelta(hours=1)
    (found,) = inside(standing, "D3", now, now=later)
    assert found.ask_by == now + timedelta(hours=4)
    assert [each.dryer.id for each in found.could_go] == ["D1", "D2"]


def test_an_empty_dryer_could_take_some(standing: list[InDryer], now: datetime):
    alone = [each for each in standing if each.run.dryer_id == "D3"]
    (found,) = inside(alone, "D3", now)
    assert [each.dryer.id for each in found.could_go] == ["D1", "D2"]
    room = found.could_go[0]
    assert room.racks == 40  # racks are of one size here, and it has 20
    assert (room.dryer.racks, room.until, room.wash_down) == (20, None, False)


def test_one_that_is_down_takes_nothing(standing: list[InDryer], now: datetime):
    alone = [each for each in standing if each.run.dryer_id == "D3"]
    (found,) = inside(alone, "D3", now, down={"D1"})
    assert [each.dryer.id for each in found.could_go] == ["D2"]


def test_a_wash_down_comes_first_where_the_table_asks_for_it(
    night: Asked, standing: list[InDryer], now: datetime
):
    onion = next(each for each in night.notes if night.card(each.card_id).group == "strong")
    tomato = own_run(standing, "R09")
    before = replace(
        own_run(standing, "R10"),
        end=now - timedelta(hours=2),
        charges=(replace(tomato.charges[0], note_id=onion.id),),
    )
    there = InDryer(night, before, True, now - timedelta(hours=1))
    (found,) = inside([*(e for e in standing if e.run is tomato), there], "D3", now)
    assert next(each for each in found.rooms if each.dryer.id == "D1").wash_down
    washed = replace(before, wash_down=Span(now - timedelta(hours=1), now))
    (clean,) = inside(
        [*(e for e in standing if e.run is tomato), replace(there, run=washed)], "D3", now
    )
    assert not next(each for each in clean.rooms if each.dryer.id == "D1").wash_down


def test_once_its_hours_are_over_nobody_is_asked(standing: list[InDryer]):
    run = own_run(standing, "R09")
    late = run.end + timedelta(hours=1)
    (found,) = inside([InDryer(standing[0].asked, run, True, None)], "D3", late)
    assert (found.left_s, found.ask_by, found.rooms) == (0, None, ())


def test_an_unloaded_run_is_not_inside(standing: list[InDryer], now: datetime):
    own = next(each for each in standing if each.run.dryer_id == "D3" and each.holds(now))
    assert inside([replace(own, out=now)], "D3", now) == ()


def test_lots_that_wait_for_it_keep_until_their_latest_start(
    night: Asked, standing: list[InDryer], now: datetime
):
    run = replace(own_run(standing, "R09"), start=now + timedelta(hours=10))
    coming = InDryer(night, run, False, None)
    ((own, (keeps,)),) = waiting_for([coming], "D3", now, within=timedelta(hours=36))
    assert (own, keeps.until) == (coming, night.note("R09").latest_start)
    assert waiting_for([coming], "D3", now, within=timedelta(hours=9)) == ()
    assert next_in([coming], "D3", now) == coming
    assert next_in([coming], "D3", run.start) is None


def test_the_cold_store_stops(night: Asked, standing: list[InDryer]):
    """Warm it keeps by the rule of Q10, from that instant on."""
    note = night.note("R09")
    at = note.arrives
    run = prepared(replace(own_run(standing, "R09"), start=at + timedelta(hours=6)),
                   cut_before=timedelta(hours=2))  # fmt: skip
    (keeps,) = in_cold_store([InDryer(night, run, False, None)], at)
    cold_s = Seconds(int((note.latest_start - at).total_seconds()))
    warm_s = keeping_s(cold_s, night.kitchen.cold_store.celsius, at_c=WARM_C)
    assert keeps.warm_until == at + timedelta(seconds=warm_s)
    assert at < keeps.warm_until < keeps.until
    assert in_cold_store([InDryer(night, run, False, None)], at + timedelta(hours=5)) == ()


def test_the_clock_never_goes_below_nought():
    assert exposure_left_s(Seconds(0)) == MOST_EXPOSED == 4 * HOUR
    assert exposure_left_s(Seconds(5 * HOUR)) == 0
