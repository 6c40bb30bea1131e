"""What a plan puts into calendars: turns of growers, work of stations, nights on call."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise

import pytest

from scheduler.day_sheet import day_sheet
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.kitchen import OnCall
from scheduler.domain.outage import Happened, StartedCharge, StartedRun
from scheduler.domain.plan import Plan
from scheduler.domain.turn import ON_CALL, Turn
from scheduler.scenario import load
from scheduler.turns import nights_of, station_names, turns_of, work_of
from scheduler.units import Racks
from tests.autumn import by_hand
from tests.builders import at
from tests.printed_plan import printed_plan
from tests.worked_day import worked_day

FRIDAY = datetime(2026, 8, 14, 19, 5, tzinfo=UTC)


@pytest.fixture(scope="module")
def august() -> Asked:
    return load("august")


@pytest.fixture(scope="module")
def whole_week(august: Asked) -> Plan:
    return by_hand(august)


def named(turns: tuple[Turn, ...], end: str) -> Turn:
    """The one turn whose uid has these last parts."""
    (found,) = [turn for turn in turns if turn.uid.split("@")[0].endswith(end)]
    return found


# Of growers.


def test_a_bringing_turn_lasts_until_the_grower_has_done_her_part(august: Asked):
    turns = turns_of(august, worked_day(august), at=FRIDAY)
    kale, tomato = named(turns, "/R07/A/bringing"), named(turns, "/R09//bringing")
    assert kale.end == at("Tue 12:00")  # she attends the small steamer after her cutting
    assert (tomato.start, tomato.end) == (at("Tue 08:05"), at("Tue 10:30"))
    assert tomato.uid == "2026-W34/R09//bringing@corrowell"
    assert tomato.title == "Bringing turn: tomato, R09"
    assert tomato.facts == (
        "125 kg field weight",
        "wash 08:05 to 09:10",
        "cut 09:10 to 10:30: Prep table 1, with the slicer and Prep table 2",
        "40 racks in the Cart dryer; dries 11:15 to Wed 02:15, cool hold to Wed 07:00",
    )
    assert "you attend the Small steamer 11:30 to 12:00" in kale.facts


def test_a_packing_turn_is_the_packing(august: Asked):
    packing = named(turns_of(august, worked_day(august), at=FRIDAY), "/R03//packing")
    assert (packing.start, packing.end) == (at("Wed 08:00"), at("Wed 09:45"))
    assert (packing.whose, packing.note_id, packing.subject) == ("G12", "R03", "R03")
    assert packing.facts[0] == "68 bags of 50 g at the Packing bench"


def test_each_charge_has_a_packing_turn_and_one_bringing_turn_a_day(
    august: Asked, whole_week: Plan
):
    turns = turns_of(august, whole_week, at=FRIDAY)
    charges = {charge.code: charge for _, charge in whole_week.charges()}
    packing = [turn.subject for turn in turns if turn.kind == "packing"]
    assert sorted(packing) == sorted(charges)
    for code, charge in charges.items():
        own = [turn for turn in turns if (turn.subject, turn.kind) == (code, "bringing")]
        made = charge.preparation
        assert made is not None
        assert len(own) == len({made.wash.start.date(), made.cut.start.date()})
        assert own[0].start == made.wash.start
        assert own[-1].end >= made.cut.end
        assert {turn.whose for turn in own} == {august.note(charge.note_id).grower_id}


def test_a_lot_that_waits_overnight_brings_its_grower_twice(august: Asked, whole_week: Plan):
    run, charge = next(whole_week.charges())
    made = charge.preparation
    assert made is not None
    cut = Span(made.cut.start + timedelta(days=1), made.cut.end + timedelta(days=1))
    late = replace(charge, preparation=replace(made, cut=cut))
    runs = tuple(
        replace(each, charges=(late, *each.charges[1:])) if each == run else each
        for each in whole_week.runs
    )
    turns = turns_of(august, replace(whole_week, runs=runs, duties=()), at=FRIDAY)
    first = named(turns, f"/{charge.note_id}/{charge.letter}/bringing")
    second = named(turns, f"/{charge.note_id}/{charge.letter}/bringing 2")
    assert (first.span, second.span) == (made.wash, cut)


def test_without_preparation_a_turn_lasts_from_the_door_to_the_run(august: Asked):
    plan = printed_plan(august)
    turns = turns_of(august, plan, at=FRIDAY)
    assert {turn.kind for turn in turns} == {"bringing"}
    for run, charge in plan.charges():
        turn = named(turns, f"/{charge.note_id}/{charge.letter}/bringing")
        assert (turn.start, turn.end) == (august.note(charge.note_id).arrives, run.start)


def test_only_promised_notes_are_firm(august: Asked, whole_week: Plan):
    turns = turns_of(august, whole_week, at=FRIDAY, firm={"R07"})
    assert {turn.note_id for turn in turns if turn.state == "firm"} == {"R07"}
    assert {turn.state for turn in turns if turn.note_id != "R07"} == {"pencilled"}


# Of stations and nights.


def test_every_uid_is_there_once(august: Asked, whole_week: Plan):
    every = (
        *turns_of(august, whole_week, at=FRIDAY),
        *work_of(august, whole_week, at=FRIDAY),
        *nights_of(august, whole_week, at=FRIDAY),
    )
    assert len({turn.uid for turn in every}) == len(every) > 200


def test_a_station_for_one_is_never_taken_twice(august: Asked, whole_week: Plan):
    """What the verifier holds of the plan, seen in the calendars."""
    work = work_of(august, whole_week, at=FRIDAY)
    shared = {"keeping", "chilling", "dry check"}
    for station_id in station_names(august.kitchen):
        own = [turn for turn in work if turn.whose == station_id and turn.kind not in shared]
        for turn, following in pairwise(own):
            assert turn.end <= following.start, (turn, following)


def test_the_work_of_stations_is_the_plan(august: Asked, whole_week: Plan):
    work = work_of(august, whole_week, at=FRIDAY)
    runs = {(turn.whose, turn.start, turn.end) for turn in work if turn.kind == "run"}
    assert runs == {(run.dryer_id, run.start, run.released) for run in whole_week.runs}
    made = [charge.preparation for _, charge in whole_week.charges() if charge.preparation]
    tables = {(turn.whose, turn.span) for turn in work if turn.kind == "cutting"}
    assert tables == {(place.table_id, each.cut) for each in made for place in each.tables}
    steamed = {load.steamer_id for each in made for load in each.steam_loads}
    assert {turn.whose for turn in work if turn.kind == "steaming"} == steamed
    for steamer_id in steamed:
        loads = [load for m in made for load in m.steam_loads if load.steamer_id == steamer_id]
        spans = [turn.span for turn in work if turn.whose == steamer_id]
        assert all(any(s.contains(Span(load.start, load.end)) for s in spans) for load in loads)


def test_work_tells_what_how_much_and_who(august: Asked):
    work = work_of(august, worked_day(august), at=FRIDAY, sequence=7)
    run, unload = named(work, "/D3/run/R09/"), named(work, "/D2/unload/R03/")
    assert (run.title, run.sequence) == ("Run: tomato, R09", 7)
    assert run.facts == (
        "40 racks, 57 °C, 15 h",
        "dries 11:15 to Wed 02:15, cool hold to Wed 07:00",
    )
    assert (unload.place, unload.facts) == ("South cabinet dryer", ("18 racks", "Sal Orrin"))
    assert named(work, "/S2/steaming/R07/A").facts == ("1 load of 3 kg", "Ines Dunmarrow")
    assert named(work, "/K1/keeping/R09/").facts == ("13 crates",)


def test_a_started_run_is_in_its_dryers_calendar(august: Asked):
    run = StartedRun("D1", 57, at("Mon 09:00"), at("Tue 00:00"), (StartedCharge("R02", Racks(19)),))
    asked = replace(august, happened=Happened(at("Mon 10:00"), (run,)))
    (found,) = work_of(asked, Plan(asked.week, "full", (), ()), at=FRIDAY)
    assert (found.whose, found.start, found.end) == ("D1", run.start, at("Tue 07:00"))


def test_a_night_tells_what_runs_and_when_each_ends(august: Asked):
    (monday, tuesday) = nights_of(august, worked_day(august), at=FRIDAY, firm={"R09"})
    assert (tuesday.start, tuesday.end) == (at("Tue 19:00"), at("Wed 07:00"))
    assert (monday.state, tuesday.state) == ("pencilled", "firm")
    assert tuesday.title == "On call: 1 dryer in use"
    assert tuesday.facts[0] == "Cart dryer ends Wed 02:15, cool hold to Wed 07:00: tomato, R09"


def test_nights_are_those_of_the_day_sheet_without_telephones(august: Asked, whole_week: Plan):
    rung = OnCall(1, "Sal Orrin", "555 0100")
    asked = replace(august, kitchen=replace(august.kitchen, on_call=(rung,)))
    nights = {turn.subject: turn for turn in nights_of(asked, whole_week, at=FRIDAY)}
    for day in asked.days:
        sheet = day_sheet(asked, whole_week, day).night
        assert (str(day) in nights) == bool(sheet and sheet.runs)
        if sheet and sheet.runs:
            assert (nights[str(day)].start, nights[str(day)].end) == (sheet.closes, sheet.opens)
    assert nights["2026-08-18"].facts[-1] == "may be rung: Sal Orrin"
    assert not any("555" in fact for turn in nights.values() for fact in turn.facts)
    assert {turn.whose for turn in nights.values()} == {ON_CALL}
