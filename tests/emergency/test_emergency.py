"""The cart dryer's night: part-lots, their clocks and places, calls, and what a person is asked."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.mend import Emergency
from scheduler.domain.outage import Outage, StartedCharge, StartedRun
from scheduler.domain.part_lot import DriesOn, Held, PartLot
from scheduler.domain.plan import Plan, Preparation
from scheduler.domain.promised import Promised
from scheduler.emergency import emergency, found_warm, proposals, stopped_stations, waits_g
from scheduler.emergency.busy import in_use
from scheduler.emergency.hands import hands_after
from scheduler.exposure_clock import part_clock
from scheduler.prepare.part_lots import part_runs
from scheduler.process.exposure import MOST_EXPOSED
from scheduler.scenario import load
from scheduler.started import all_runs
from scheduler.units import HOUR, Grams, Racks
from scheduler.verify import verify
from tests.builders import at, hours

STOP = at("Tue 22:10")


@pytest.fixture(scope="module")
def asked() -> Asked:
    return load("dryer_down")


@pytest.fixture(scope="module")
def night(asked: Asked) -> Emergency:
    return emergency(asked, None, "D3", STOP)


def parts(night: Emergency) -> tuple[PartLot, PartLot]:
    first, second = night.part_lots
    return first, second


def test_half_goes_across_at_once_and_half_to_the_shelf_until_morning(night: Emergency):
    first, second = parts(night)
    assert (first.code, first.racks, second.code, second.racks) == ("R09 A", 20, "R09 B", 20)
    assert first.dries_on == DriesOn("D2", 57.0, at("Wed 00:00"), at("Wed 05:00"))
    assert first.held is None
    assert second.held == Held("K1", at("Wed 00:30"), at("Wed 07:30"))
    assert second.dries_on
    assert second.dries_on.start == at("Wed 08:00")
    assert second.dries_on.dryer_id in {"D1", "D2"}


def test_each_has_its_hours_moisture_and_clock(night: Emergency):
    first, second = parts(night)
    assert first.left_s == second.left_s == hours(5)
    assert 20 < first.water_percent < 35
    assert first.prepared_g + second.prepared_g == Grams(117_500)
    assert part_clock(first, at("Wed 05:00")).exposed_s == hours(1) + 50 * 60
    assert part_clock(second, at("Wed 07:00")).exposed_s == hours(2) + 20 * 60


def test_whom_to_ring_in_order_with_numbers(night: Emergency):
    calls = [(each.who, each.telephone) for each in night.calls]
    assert calls == [("Jun Ferrow", "555-0101"), ("Lotte Amberry", "555-0100"), ("G11", "")]
    assert parts(night)[0].hands == ("Jun Ferrow", "Lotte Amberry")


def test_every_way_that_its_clock_lets(asked: Asked, night: Emergency):
    """D1 is free in the morning, D3 on Thursday: by then the clock has asked a person."""
    ways = {(way.kind, way.station_id): way for way in night.ways["R09"]}
    assert set(ways) == {("dryer", "D2"), ("part-dry shelf", "K1"), ("freezer", "F1")}
    assert {way.until for way in ways.values()} == {STOP + timedelta(hours=4)}
    assert all(way.start <= way.until for way in ways.values())
    assert emergency(asked, None, "D3", at("Wed 08:00")).ways == {"R09": ()}


def test_what_is_proposed_keeps_the_rules(asked: Asked, night: Emergency):
    plan = Plan(asked.week, "full", (), (), part_lots=night.part_lots)
    told = [fault for fault in verify(asked, plan) if "R09" in fault.message]
    assert told == []
    assert night.decisions == ()


def test_other_proposals_differ_in_the_run_that_has_to_wait(asked: Asked):
    found = list(proposals(asked, None, "D3", STOP))
    assert len(found) > 1
    assert len({each[0] for each in found}) == 1
    assert len({each[1] for each in found}) == len(found)
    assert waits_g(found[0]) > 0


def test_found_warm_beyond_the_limit_the_manager_is_asked_and_nothing_decided(
    asked: Asked, night: Emergency
):
    second = parts(night)[1]
    warm, decision = found_warm(asked, second, at("Wed 02:30"), celsius=14)
    assert decision
    assert (decision.who, decision.exposed_s) == ("Lotte Amberry", hours(4) + 20 * 60)
    assert "4 h 20 min" in decision.question
    assert (warm.held, warm.dries_on, warm.in_control) == (None, None, None)


@pytest.mark.parametrize(("when", "celsius"), [("Wed 02:30", 4.0), ("Wed 02:00", 14.0)])
def test_cold_enough_or_within_the_limit_nobody_is_asked(
    asked: Asked, night: Emergency, when: str, celsius: float
):
    second = parts(night)[1]
    warm, decision = found_warm(asked, second, at(when), celsius=celsius)
    assert decision is None
    assert (warm == second) == (celsius < 5)


def planned_before(asked: Asked, late: timedelta, *, cut_before: timedelta | None = None) -> Plan:
    """A plan of the runs on record, each so much before it really started."""
    runs = []
    for run in all_runs(asked, Plan(asked.week, "full", (), ())):
        done = None
        if cut_before is not None:
            cut = Span(run.start - late - cut_before, run.start - late)
            done = Preparation("W1", cut, cut, (), (), cut.end)
        charges = tuple(replace(each, preparation=done) for each in run.charges)
        runs.append(replace(run, start=run.start - late, end=run.end - late, charges=charges))
    return Plan(asked.week, "full", tuple(runs), ())


@pytest.mark.parametrize("minutes", [0, -4, 7, 90])
def test_a_run_written_down_off_its_planned_start_is_inside_once(asked: Asked, minutes: int):
    plan = planned_before(asked, timedelta(minutes=minutes))
    found = emergency(asked, plan, "D3", STOP)
    assert [(each.racks, each.prepared_g) for each in found.part_lots] == [(20, 58_750)] * 2
    hands = hands_after(asked, STOP, STOP)
    for dryer in asked.kitchen.dryers:
        used = in_use(asked, plan, dryer, hands=hands)
        assert used == in_use(asked, None, dryer, hands=hands)


def test_what_is_on_record_as_inside_is_believed_and_not_the_plan(asked: Asked):
    plan = planned_before(asked, timedelta(0))
    own = [run for run in asked.happened.runs if run.dryer_id == "D3"]
    others = [replace(run, charges=(StartedCharge("R10", Racks(12)),)) for run in own]
    told = replace(asked, happened=replace(asked.happened, runs=tuple(others)))
    found = emergency(told, plan, "D3", STOP)
    assert {each.note_id for each in found.part_lots} == {"R10"}


def unwritten(asked: Asked) -> Asked:
    """Nobody wrote down how long anything stood cut before its run."""
    runs = (
        replace(run, charges=tuple(replace(each, stood_s=None) for each in run.charges))
        for run in asked.happened.runs
    )
    return replace(asked, happened=replace(asked.happened, runs=tuple(runs)))


def test_what_is_not_known_counts_as_the_longest_that_it_may_wait(asked: Asked):
    found = emergency(unwritten(asked), None, "D3", STOP)
    assert {each.stood_s for each in found.part_lots} == {None}
    assert {part_clock(each, STOP).exposed_s for each in found.part_lots} == {hours(3)}
    assert found.part_lots[0].held is None
    assert [each.exposed_s for each in found.decisions] == [hours(3)]


def test_what_is_not_known_may_have_come_earlier_than_it_was_noted(asked: Asked):
    notes = (
        replace(each, arrives=at("Tue 10:00")) if each.id == "R09" else each for each in asked.notes
    )
    found = emergency(unwritten(replace(asked, notes=tuple(notes))), None, "D3", STOP)
    assert {part_clock(each, STOP).exposed_s for each in found.part_lots} == {hours(3)}


@pytest.mark.parametrize("minutes", [0, 55, 65, 90])
def test_what_it_stood_counts_however_late_its_run_began(asked: Asked, minutes: int):
    late, cut_before = timedelta(minutes=minutes), timedelta(minutes=60)
    asked = unwritten(asked)
    found = emergency(asked, planned_before(asked, late, cut_before=cut_before), "D3", STOP)
    stood = late + cut_before
    assert {each.stood_s for each in found.part_lots} == {stood.total_seconds()}
    until = {way.until for way in found.ways["R09"]}
    assert until == {STOP + timedelta(hours=4) - stood}


@pytest.mark.parametrize("minutes", [0, 7])
def test_a_part_lots_run_on_record_is_there_once(asked: Asked, night: Emergency, minutes: int):
    first, _ = parts(night)
    assert first.dries_on
    begun = first.dries_on.start + timedelta(minutes=minutes)
    run = StartedRun(
        "D2", 57.0, begun, begun + timedelta(hours=5), (StartedCharge("R09", Racks(20)),)
    )
    told = replace(asked, happened=replace(asked.happened, runs=(*asked.happened.runs, run)))
    plan = Plan(asked.week, "full", (), (), part_lots=night.part_lots)
    own = [each for each in all_runs(told, plan) if each.start >= STOP and each.dryer_id == "D2"]
    assert (own[0].charges[0].code, own[0].start) == ("R09 A", begun)
    assert len(own) == len({each.dries_on for each in night.part_lots if on_d2(each)})
    drawn = part_runs(replace(told, promised=Promised(plan)))
    assert ("D2", first.dries_on.start, first.dries_on.end) not in drawn


def on_d2(part: PartLot) -> bool:
    return part.dries_on is not None and part.dries_on.dryer_id == "D2"


def stopped_too(asked: Asked, *stations: str) -> Asked:
    more = (Outage(each, at("Tue 20:00"), None) for each in stations)
    outages = (*asked.happened.outages, *more)
    return replace(asked, happened=replace(asked.happened, outages=outages))


def test_without_shelf_and_freezer_what_fits_nowhere_in_time_is_asked(asked: Asked):
    found = emergency(stopped_too(asked, "K1", "F1"), None, "D3", STOP)
    left = [each for each in found.part_lots if each.in_control is None]
    assert [each.code for each in left] == [each.code for each in found.decisions]
    assert left
    assert all("no place in time" in each.question for each in found.decisions)


def test_without_the_shelf_the_freezer_takes_it(asked: Asked):
    found = emergency(stopped_too(asked, "K1"), None, "D3", STOP)
    assert [each.held.station_id for each in found.part_lots if each.held] == ["F1"]


def later(asked: Asked, minutes: int) -> datetime:
    assert asked.happened.now
    return asked.happened.now + timedelta(minutes=minutes)


def test_asked_late_nothing_is_proposed_that_would_pass_the_limit(asked: Asked):
    for minutes in range(0, 360, 45):
        found = emergency(asked, None, "D3", later(asked, minutes))
        for part in found.part_lots:
            if part.in_control is not None:
                assert part_clock(part, part.in_control).exposed_s <= MOST_EXPOSED


def test_in_staffed_hours_nobody_is_rung_at_night(asked: Asked):
    stop = Outage("D3", at("Tue 15:00"), at("Thu 12:00"))
    day = replace(asked, happened=replace(asked.happened, outages=(stop,)))
    found = emergency(day, None, "D3", at("Tue 15:00"))
    assert [each.who for each in found.calls] == ["Lotte Amberry", "G11"]
    assert all(each.left_s == 12 * HOUR for each in found.part_lots)


def test_what_is_a_part_lot_already_is_no_emergency_again(asked: Asked, night: Emergency):
    plan = Plan(asked.week, "full", (), (), part_lots=night.part_lots)
    assert stopped_stations(asked, None, STOP) == ["D3"]
    assert stopped_stations(asked, plan, STOP) == []
