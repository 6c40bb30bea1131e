"""A second stop: what dries on, what is kept cold, and ways that fall away."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from scheduler.domain.asked import Asked
from scheduler.domain.outage import Outage, StartedCharge, StartedRun
from scheduler.domain.part_lot import DriesOn, Held, PartLot, stopped_again
from scheduler.domain.plan import Plan
from scheduler.domain.promised import Promised
from scheduler.emergency import emergency, proposals, stopped_stations, with_parts
from scheduler.exposure_clock import part_clock
from scheduler.scenario import load
from scheduler.started import all_runs
from scheduler.units import Racks, Seconds
from scheduler.verify import verify
from tests.builders import at, hours, minutes

STOP = at("Tue 22:10")


@pytest.fixture(scope="module")
def asked() -> Asked:
    return load("dryer_down")


@pytest.fixture(scope="module")
def plan(asked: Asked) -> Plan:
    """A dries on in D2 from midnight, B is cold from 00:30 and dries on in the morning."""
    parts = next(proposals(asked, None, "D3", STOP))
    return Plan(asked.week, "full", (), (), part_lots=parts)


def down(asked: Asked, now: datetime, *outages: Outage) -> Asked:
    happened = replace(asked.happened, now=now, outages=(*asked.happened.outages, *outages))
    return replace(asked, happened=happened)


def told_of(asked: Asked, plan: Plan) -> list[str]:
    """What is wrong with its part-lots."""
    promised = replace(asked, promised=Promised(plan))
    return [each.message for each in verify(promised, plan) if "R09" in each.message]


def mended(asked: Asked, plan: Plan, station_id: str, now: datetime) -> tuple[Plan, list[PartLot]]:
    parts = next(proposals(asked, plan, station_id, now))
    return with_parts(plan, parts), list(parts)


def test_what_dries_on_is_stopped_again(asked: Asked, plan: Plan):
    """D2 stops two hours into the five that A had left: it has done them, and its clock goes on."""
    now = at("Wed 02:00")
    told = down(asked, now, Outage("D2", now, at("Wed 12:00")))
    assert stopped_stations(told, plan, now) == ["D2"]
    made, (again,) = mended(told, plan, "D2", now)
    assert (again.code, again.racks, again.station_id, again.stopped) == ("R09 A", 20, "D2", now)
    assert again.left_s == hours(3)
    assert again.stood_s == hours(1) + 50 * 60
    assert again.water_percent < plan.part_lots[0].water_percent
    assert again.in_control
    assert part_clock(again, again.in_control).exposed_s <= hours(4)
    assert made.part_lots == (*plan.part_lots, again)
    assert told_of(told, made) == []
    assert stopped_stations(told, made, now) == []


def test_what_was_left_of_a_run_on_record_is_counted_once(asked: Asked, plan: Plan):
    """The run of A in D2 is written down, ten minutes late."""
    now, start = at("Wed 02:00"), at("Wed 00:10")
    run = StartedRun("D2", 57.0, start, at("Wed 05:10"), (StartedCharge("R09", Racks(20)),))
    told = down(asked, now, Outage("D2", now, None))
    told = replace(told, happened=replace(told.happened, runs=(*told.happened.runs, run)))
    made, (again,) = mended(told, plan, "D2", now)
    assert (again.code, again.racks) == ("R09 A", 20)
    assert (again.left_s, again.stood_s) == (hours(4), hours(2))
    assert told_of(told, made) == []


def test_a_run_on_record_an_hour_late_has_dried_and_kept_it_warm_as_long_as_it_did(
    asked: Asked, plan: Plan
):
    now, start = at("Wed 02:00"), at("Wed 01:00")
    run = StartedRun("D2", 57.0, start, at("Wed 06:00"), (StartedCharge("R09", Racks(20)),))
    told = down(asked, now, Outage("D2", now, None))
    told = replace(told, happened=replace(told.happened, runs=(*told.happened.runs, run)))
    _, (again,) = mended(told, plan, "D2", now)
    assert (again.left_s, again.stood_s) == (hours(4), hours(2) + 50 * 60)
    short = replace(again, stood_s=minutes(110), dries_on=_run(again, hours(3)), held=None)
    said = told_of(told, with_parts(plan, [short]))
    assert "R09 A dries on for 3 h; 3 h 5 min were left" in said
    assert any("R09 A would be warm for 4 h 50" in each for each in said)


def _run(part: PartLot, seconds: Seconds) -> DriesOn:
    """From two hours after its stop on."""
    start = part.stopped + timedelta(hours=2)
    return DriesOn("D1", 57.0, start, start + timedelta(seconds=seconds))


def cold_only(part: PartLot) -> PartLot:
    return replace(part, held=Held("K1", at("Wed 00:30"), None), dries_on=None)


@pytest.mark.parametrize("planned", [True, False], ids=["another plan", "no plan"])
def test_racks_moved_before_any_mend_keep_the_clock_of_the_stop(asked: Asked, planned: bool):
    """They are written down as a run in D2 at one, 2 h 50 min after D3 stopped."""
    now, start = at("Wed 02:00"), at("Wed 01:00")
    run = StartedRun("D2", 57.0, start, at("Wed 06:00"), (StartedCharge("R09", Racks(20)),))
    told = down(asked, now, Outage("D2", now, None))
    told = replace(told, happened=replace(told.happened, runs=(*told.happened.runs, run)))
    plan = Plan(asked.week, "full", (), ()) if planned else None
    for again in next(proposals(told, plan, "D2", now)):
        assert again.stood_s == hours(2) + 50 * 60
    first = next(proposals(told, plan, "D3", now))
    assert {each.stood_s for each in first} == {0}
    mended = Plan(asked.week, "full", (), (), part_lots=tuple(cold_only(each) for each in first))
    (other,) = (e for e in next(proposals(told, mended, "D2", now)) if e.station_id == "D2")
    assert other.stood_s is None


def moved(asked: Asked, now: datetime, **runs: tuple[datetime, int]) -> Asked:
    """Racks of R09 written down as runs since D3 stopped, by dryer: since when, and how many."""
    more = tuple(
        StartedRun(name, 57.0, start, start + timedelta(hours=5), (charge,))
        for name, (start, racks) in runs.items()
        for charge in (StartedCharge("R09", Racks(racks)),)
    )
    told = down(asked, now)
    return replace(told, happened=replace(told.happened, runs=(*told.happened.runs, *more)))


def test_what_was_moved_before_any_mend_is_taken_off_what_waits(asked: Asked):
    now, plan = at("Wed 01:00"), Plan(asked.week, "full", (), ())
    told = moved(asked, now, D2=(at("Wed 00:42"), 18))
    made, (first, *rest) = mended(told, plan, "D3", now)
    assert (first.code, first.racks) == ("R09 A", 18)
    assert first.dries_on == DriesOn("D2", 57.0, at("Wed 00:45"), at("Wed 05:45"))
    assert [(each.code, each.racks) for each in rest] == [("R09 B", 20), ("R09 C", 2)]
    assert all(each.in_control and each.in_control >= now for each in rest)
    whole = next(proposals(asked, plan, "D3", STOP))
    assert sum(e.prepared_g for e in made.part_lots) == sum(each.prepared_g for each in whole)
    assert told_of(told, made) == []
    assert stopped_stations(told, made, now) == []


def test_all_that_was_moved_has_its_way_whichever_run_it_is_in(asked: Asked):
    now, plan = at("Wed 02:00"), Plan(asked.week, "full", (), ())
    runs = tuple(each for each in asked.happened.runs if each.dryer_id == "D3")
    asked = replace(asked, happened=replace(asked.happened, runs=runs))
    told = moved(asked, now, D2=(at("Wed 00:40"), 20), D1=(at("Wed 01:30"), 20))
    made, parts = mended(told, plan, "D3", now)
    where = {(each.racks, each.dries_on.dryer_id) for each in parts if each.dries_on}
    assert where == {(20, "D2"), (20, "D1")}
    found = emergency(told, plan, "D3", now)
    assert (set(found.ways.values()), found.decisions) == ({()}, ())
    assert told_of(told, made) == []


def test_what_was_moved_after_the_limit_is_asked_about(asked: Asked):
    now, plan = at("Wed 03:00"), Plan(asked.week, "full", (), ())
    told = moved(asked, now, D2=(at("Wed 02:30"), 40))
    found = emergency(told, plan, "D3", now)
    assert [each.in_control for each in found.part_lots] == [None]
    assert [each.code for each in found.decisions] == ["R09"]


def test_a_fresh_charge_of_the_same_lot_is_no_moved_one(asked: Asked):
    """It is written how long that stood before its run: it came off no stopped dryer."""
    now, plan = at("Wed 01:00"), Plan(asked.week, "full", (), ())
    fresh = StartedCharge("R09", Racks(15), Seconds(1800))
    told = moved(asked, now, D2=(at("Wed 00:40"), 15))
    runs = (*told.happened.runs[:-1], replace(told.happened.runs[-1], charges=(fresh,)))
    told = replace(told, happened=replace(told.happened, runs=runs))
    assert sum(each.racks for each in next(proposals(told, plan, "D3", now))) == 40


def test_the_cold_store_stops_under_what_is_kept(asked: Asked, plan: Plan):
    """B was cold for an hour and a half; what it stood before stays counted."""
    now = at("Wed 02:00")
    told = down(asked, now, Outage("K1", now, None))
    made, (again,) = mended(told, plan, "K1", now)
    assert (again.code, again.station_id, again.left_s) == ("R09 B", "K1", hours(5))
    assert again.stood_s == hours(2) + 20 * 60
    assert again.held
    assert again.held.station_id == "F1"
    kept = next(each for each in made.part_lots if each.station_id == "D3" and each.letter == "B")
    assert (kept.held, kept.dries_on) == (Held("K1", at("Wed 00:30"), now), None)
    assert told_of(told, made) == []


def test_without_another_cold_place_in_time_a_person_is_asked(asked: Asked, plan: Plan):
    now = at("Wed 02:00")
    told = down(asked, now, Outage("K1", now, None), Outage("F1", now, None))
    found = emergency(told, plan, "K1", now)
    assert [each.code for each in found.part_lots] == ["R09 B"]
    assert found.part_lots[0].in_control is None
    assert [(each.code, each.who) for each in found.decisions] == [("R09 B", "Lotte Amberry")]
    assert told_of(told, with_parts(plan, found.part_lots)) == []


def test_a_dryer_that_was_to_take_it_stops_before(asked: Asked, plan: Plan):
    """B stays in the cold as it is and waits for another dryer."""
    second = plan.part_lots[1]
    assert second.held
    assert second.dries_on
    now, lost = at("Wed 06:30"), second.dries_on.dryer_id
    told = down(asked, now, Outage(lost, now, None))
    made, parts = mended(told, plan, lost, now)
    again = next(each for each in parts if each.letter == "B")
    assert again.key == second.key
    assert again.held
    assert (again.held.station_id, again.held.since) == (second.held.station_id, second.held.since)
    assert again.dries_on
    assert again.dries_on.dryer_id != lost
    assert len(made.part_lots) == len(plan.part_lots)
    assert told_of(told, made) == []


def test_a_way_that_had_not_begun_falls_away(asked: Asked, plan: Plan):
    """D2 stops at 23:30, before A came: A needs a way from its first stop on."""
    now = at("Tue 23:30")
    told = down(asked, now, Outage("D2", now, None))
    made, parts = mended(told, plan, "D2", now)
    assert {each.key for each in parts if each.letter == "A"} == {plan.part_lots[0].key}
    assert sum(each.racks for each in made.part_lots) == 40
    assert told_of(told, made) == []


@pytest.mark.parametrize(("station_id", "when"), [("D2", "Wed 00:00"), ("K1", "Wed 00:30")])
def test_stopped_at_the_minute_it_went_in_it_is_there_once(
    asked: Asked, plan: Plan, station_id: str, when: str
):
    told = down(asked, at(when), Outage(station_id, at(when), None))
    made, parts = mended(told, plan, station_id, at(when))
    assert {each.stopped for each in parts} == {at(when)}
    assert sum(each.racks for each in parts) == 20
    assert told_of(told, made) == []


@pytest.mark.parametrize("station_id", ["D2", "K1"])
def test_what_comes_back_in_time_changes_nothing(asked: Asked, plan: Plan, station_id: str):
    now = at("Tue 23:05")
    told = down(asked, now, Outage(station_id, now, at("Tue 23:10")))
    assert stopped_stations(told, plan, now) == []


def test_the_dryer_is_free_from_its_second_stop_on(asked: Asked, plan: Plan):
    now = at("Wed 02:00")
    told = down(asked, now, Outage("D2", now, at("Wed 03:00")))
    made, _ = mended(told, plan, "D2", now)
    first = next(run for run in all_runs(told, made) if run.start == at("Wed 00:00"))
    assert first.end == now


def test_its_own_dryer_stops_a_second_time_before_the_first_run_would_have_ended(asked: Asked):
    stop = Outage("D3", STOP, at("Tue 23:30"))
    back = replace(asked, happened=replace(asked.happened, outages=(stop,)))
    first = next(proposals(back, None, "D3", STOP))[0]
    inside = DriesOn("D3", 57.0, at("Wed 00:00"), at("Wed 05:00"))
    whole = replace(first, letter="", racks=Racks(40), held=None, dries_on=inside)
    plan = Plan(asked.week, "full", (), (), part_lots=(whole,))
    now = at("Wed 01:00")
    told = down(back, now, Outage("D3", now, None))
    made, parts = mended(told, plan, "D3", now)
    assert {(each.station_id, each.stopped, each.left_s) for each in parts} == {
        ("D3", now, hours(4))
    }
    assert sum(each.racks for each in parts) == 40
    assert told_of(told, made) == []


def test_the_way_out_of_the_cold_counts(asked: Asked, plan: Plan):
    """Cold again so late that half an hour more would pass the limit: no run is proposed."""
    now = at("Wed 02:00")
    told = down(asked, now, Outage("K1", now, None))
    late = replace(plan.part_lots[1], stood_s=minutes(15))
    made, (again,) = mended(told, with_parts(plan, [late]), "K1", now)
    assert again.held
    assert part_clock(again, again.held.since).exposed_s > hours(4) - minutes(30)
    assert (again.held.until, again.dries_on) == (None, None)
    assert told_of(told, made) == []


def test_a_dryer_that_stops_at_the_minute_its_run_began(asked: Asked):
    start = at("Tue 11:15")
    stop = Outage("D3", start, at("Tue 13:00"))
    told = replace(asked, happened=replace(asked.happened, now=start, outages=(stop,)))
    plan = Plan(asked.week, "full", (), ())
    inside = DriesOn("D3", 57.0, at("Tue 13:00"), at("Wed 04:00"))
    (first, *_) = next(proposals(told, plan, "D3", start))
    part = replace(first, letter="", racks=Racks(40), held=None, dries_on=inside)
    assert told_of(told, with_parts(plan, [part])) == []


def test_what_was_left_of_one_of_two_is_not_of_the_other(plan: Plan):
    now = at("Wed 02:00")
    held = Held("K1", at("Wed 00:30"), None)
    a, b = (replace(each, held=held, dries_on=None) for each in plan.part_lots)
    again = replace(a, station_id="K1", stopped=now, held=None)
    assert stopped_again(a, [a, b, again]) == now
    assert stopped_again(b, [a, b, again]) is None
    assert stopped_again(b, [a, b, again, replace(again, letter="C")]) == now


def out_of_the_cold(asked: Asked, plan: Plan, *stations: str) -> Asked:
    """What B was to dry on in from 08:00 stops at 07:45: it has been out since 07:30."""
    second = plan.part_lots[1]
    assert second.dries_on
    assert second.held
    assert second.held.until == at("Wed 07:30")
    names = (second.dries_on.dryer_id, *stations)
    return down(asked, at("Wed 07:50"), *(Outage(each, at("Wed 07:45"), None) for each in names))


def test_on_its_way_out_of_the_cold_the_time_it_is_warm_counts(asked: Asked, plan: Plan):
    second, now = plan.part_lots[1], at("Wed 07:50")
    told = out_of_the_cold(asked, plan)
    made, parts = mended(told, plan, "D1", now)
    again = next(each for each in parts if each.letter == "B")
    assert (again.key, again.held) == (second.key, second.held)
    assert again.dries_on
    assert now < again.dries_on.start <= at("Wed 09:10")
    assert told_of(told, made) == []


def test_without_a_dryer_before_the_limit_a_person_is_asked(asked: Asked, plan: Plan):
    now = at("Wed 07:50")
    told = out_of_the_cold(asked, plan, "D2")
    found = emergency(told, plan, "D1", now)
    again = next(each for each in found.part_lots if each.letter == "B")
    assert again.in_control is None
    (asks,) = (each for each in found.decisions if each.code == "R09 B")
    assert asks.exposed_s == (140 + 20) * 60
    assert told_of(told, with_parts(plan, found.part_lots)) == []
