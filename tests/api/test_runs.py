"""Runs on record: started, ended, unloaded; and a week laid out again while they are in hand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from api.records.notes import Lot
from api.records.plans import From
from api.services.asking import asked_of
from api.services.errors import ChangedMeanwhile, NoSuchThing, NotAllowed, NotNow
from api.services.lots import door, lot, trail
from api.services.notes import end as end_note
from api.services.notes import note
from api.services.outages import down
from api.services.plans import keep
from api.services.ports import Book
from api.services.posting import OnPurpose, post
from api.services.roles import Doing
from api.services.runs import Start, end, kept_runs, start, unload
from api.services.taking_in import take_in
from api.services.turns import turns
from api.services.weeks import week_entry
from scheduler.domain.outage import StartedCharge
from scheduler.domain.part_lot import DriesOn, PartLot
from scheduler.domain.plan import Plan
from scheduler.errors import BadInput
from scheduler.scenario import load
from scheduler.units import Grams, Racks
from scheduler.verify import verify
from tests.answer.posted import posted
from tests.api.test_promises import laid_out
from tests.book import GROWER, HAND, MANAGER, doing
from tests.builders import hours
from tests.served import WEEK as IN_WORDS
from tests.served import Kitchen
from tests.shelves import fresh_shelf

AUGUST, DOWN = load("august"), load("dryer_down")
MONDAY = AUGUST.week.monday
MINUTE = timedelta(minutes=1)


def at(clock: str, days: int = 0) -> datetime:
    told = f"{MONDAY + timedelta(days=days)}T{clock}"
    return datetime.fromisoformat(told).replace(tzinfo=AUGUST.kitchen.zone)


def hand(when: datetime) -> Doing:
    return doing(HAND, when)


@pytest.fixture
def book(tmp_path: Path, plan: Plan) -> Iterator[Book]:
    with fresh_shelf(tmp_path) as shelf, shelf.writing() as found:
        take_in(found, doing(MANAGER), AUGUST)
        post(found, doing(MANAGER), laid_out(found, plan))
        yield found


def weighed_in(book: Book, *note_ids: str) -> list[Lot]:
    """At the door with the weight that was noted."""
    return [
        door(book, hand(AUGUST.note(each).arrives), each, Grams(AUGUST.note(each).field_g))
        for each in note_ids
    ]


def monday_in_hand(book: Book, plan: Plan) -> None:
    """All of Monday's runs started as planned; that of D2 has ended and is unloaded."""
    weighed_in(book, "R03", "R05", "R06", "R02")
    for run in plan.runs[:4]:
        start(book, hand(run.start), Start(run.dryer_id, run.start))
    first = kept_runs(book, AUGUST.week)[0]
    end(book, hand(at("18:00")), first.number, at("17:50"))
    unload(book, hand(at("18:30")), first.number, at("18:25"))


def test_a_run_starts_as_the_posted_plan_has_it(book: Book, plan: Plan):
    (code,) = weighed_in(book, "R03")
    planned = plan.runs[0]
    late = planned.start + 7 * MINUTE
    kept = start(book, hand(late), Start("D2", late))
    assert kept.run.charges == (StartedCharge("R03", Racks(18)),)
    assert (kept.run.start, kept.run.set_point_c) == (late, planned.set_point_c)
    assert kept.run.end - kept.run.start == planned.end - planned.start
    assert (kept.started_by, kept.ended, kept.unloaded) == ("sal", None, None)
    assert lot(book, hand(late), code.code).state == "on racks"
    (deed,) = book.deeds.where(subject="D2")
    assert (deed.by, deed.act, deed.told["run"]) == (
        "sal",
        "start, end and unload runs",
        kept.number,
    )


def test_the_next_start_takes_the_next_run(book: Book, plan: Plan):
    monday_in_hand(book, plan)
    morning = at("09:55", 1)
    weighed_in(book, "R07")
    with pytest.raises(NotNow, match="D1 is in run"):
        start(book, hand(at("22:00")), Start("D1", at("22:00")))
    kept = start(book, hand(morning), Start("D1", morning))
    assert kept.run.charges == (StartedCharge("R07", Racks(20)),)


def test_ended_then_unloaded_each_once(book: Book, plan: Plan):
    (code,) = weighed_in(book, "R03")
    kept = start(book, hand(at("09:55")), Start("D2", at("09:55")))
    with pytest.raises(NotNow, match="still drying"):
        unload(book, hand(at("16:00")), kept.number, at("16:00"))
    with pytest.raises(BadInput, match="has not come yet"):
        end(book, hand(at("16:00")), kept.number, at("16:01"))
    ended = end(book, hand(at("16:00")), kept.number, at("15:55"))
    assert (ended.ended, ended.as_it_was.end) == (at("15:55"), at("15:55"))
    assert lot(book, hand(at("16:00")), code.code).state == "on racks"
    with pytest.raises(NotNow, match="has ended already"):
        end(book, hand(at("16:05")), kept.number, at("16:05"))
    done = unload(book, hand(at("16:30")), kept.number, at("16:20"))
    assert done.unloaded == at("16:20")
    with pytest.raises(NotNow, match="unloaded already"):
        unload(book, hand(at("16:30")), kept.number, at("16:25"))
    found = trail(book, hand(at("17:00")), code.code)
    assert found.lot.state == "off racks"
    assert [each.kind for each in found.happened] == ["at the door", "on racks", "off racks"]


def test_what_is_written_down_stays(book: Book, plan: Plan):
    weighed_in(book, "R03")
    kept = start(book, hand(at("09:55")), Start("D2", at("09:55")))
    before = book.happenings.where()
    end(book, hand(at("16:00")), kept.number, at("15:55"))
    assert book.happenings.where()[: len(before)] == before


def refusal(book: Book, said: Start) -> str:
    with pytest.raises((NotNow, BadInput)) as refused:
        start(book, hand(at("20:00")), said)
    return str(refused.value)


def test_what_cannot_have_started(book: Book, plan: Plan):
    now = at("09:55")
    assert "R03 is not at the door; weigh it in first" in refusal(book, Start("D2", now))
    weighed_in(book, "R03", "R02")
    assert "there is no dryer D9" in refusal(book, Start("D9", now))
    assert "has not come yet" in refusal(book, Start("D2", at("20:01")))
    assert "goes from" in refusal(book, Start("D2", now, set_point_c=150.0))
    assert "is not after the start" in refusal(book, Start("D2", now, ends=now))
    many = (StartedCharge("R03", Racks(18)), StartedCharge("R02", Racks(38)))
    said = Start("D2", now, 50.0, at("18:00"), many)
    assert "56 racks; D2 has" in refusal(book, said)
    assert "say what is on its racks" in refusal(book, replace(said, ends=None))
    twice = (StartedCharge("R03", Racks(1)), StartedCharge("R03", Racks(1)))
    assert "names a note twice" in refusal(book, replace(said, charges=twice))
    down(book, hand(at("09:00")), "D2", stopped=at("09:00"))
    assert "D2 is down" in refusal(book, Start("D2", now))
    assert kept_runs(book, AUGUST.week) == ()


def test_a_run_that_was_not_planned_leaves_the_planned_one_to_come(book: Book, plan: Plan):
    weighed_in(book, "R03", "R02")
    some = (StartedCharge("R02", Racks(9)),)
    own = start(book, hand(at("08:00")), Start("D2", at("08:00"), 57.0, at("09:00"), some))
    assert own.run.charges == some
    assert start(book, hand(at("09:55")), Start("D2", at("09:55"))).run.charges[0].note_id == "R03"


def test_growers_start_nothing(book: Book):
    with pytest.raises(NotAllowed):
        start(book, doing(GROWER), Start("D2", at("09:55")))
    with pytest.raises(NoSuchThing):
        end(book, hand(at("09:55")), 1, at("09:55"))


def test_a_lay_out_in_mid_week_moves_nothing_that_has_started(book: Book, plan: Plan):
    monday_in_hand(book, plan)
    evening = at("19:30")
    asked = asked_of(book, AUGUST.week, now=evening)
    begun = {"R03", "R05", "R06", "R02"}
    runs = asked.happened.runs
    assert {charge.note_id for run in runs for charge in run.charges} == begun
    assert [run.end for run in runs if run.dryer_id == "D2"] == [at("17:50")]
    assert begun <= {each.id for each in asked.notes}
    again = posted(asked)
    assert verify(asked, again) == ()
    assert not begun & {charge.note_id for _, charge in again.charges()}
    assert min(run.start for run in again.runs) >= evening
    for run in again.runs:
        assert all(run.start >= each.end for each in runs if each.dryer_id == run.dryer_id)


def test_the_plan_of_before_breaks_rule_18_once_its_runs_have_started(book: Book, plan: Plan):
    monday_in_hand(book, plan)
    asked = asked_of(book, AUGUST.week, now=at("19:30"))
    assert 18 in {fault.rule for fault in verify(asked, plan)}


def test_a_run_that_ended_late_keeps_its_dryer_that_long(book: Book, plan: Plan):
    monday_in_hand(book, plan)
    number = next(each.number for each in kept_runs(book, AUGUST.week) if each.run.dryer_id == "D1")
    end(book, hand(at("09:00", 1)), number, at("08:30", 1))
    asked = asked_of(book, AUGUST.week, now=at("09:00", 1))
    early = next(each for each in plan.runs if each.id == "D1-2")
    soon = replace(early, start=at("08:25", 1).astimezone(UTC))
    told = [each.message for each in verify(asked, replace(plan, runs=(soon,))) if each.rule == 18]
    assert any("keeps it until Tue 18 Aug 08:30" in each for each in told), told


def test_posting_in_mid_week_keeps_the_turns_and_states_of_what_has_started(book: Book, plan: Plan):
    monday_in_hand(book, plan)
    manager = doing(MANAGER, at("19:30"))
    before = {turn.uid: turn for turn in turns(book, manager) if turn.note_id == "R03"}
    asked = asked_of(book, AUGUST.week, now=at("19:30"))
    number = laid_out_at(book, posted(asked), at("19:30"))
    post(book, manager, number, purpose=OnPurpose(moving=True, over_caps=True))
    assert {turn.uid: turn for turn in turns(book, manager) if turn.note_id == "R03"} == before
    assert note(book, manager, "R03").state == "at the door"


def laid_out_at(book: Book, plan: Plan, when: datetime) -> int:
    entry = week_entry(book, AUGUST.week)
    origin = From(entry.notes_version, entry.posted, "lotte")
    asked = asked_of(book, AUGUST.week, now=when)
    return keep(book.plans, asked, plan, laid_out_at=when, origin=origin)


def test_a_start_since_it_was_laid_out_is_told(book: Book, plan: Plan):
    weighed_in(book, "R03")
    number = laid_out_at(book, posted(asked_of(book, AUGUST.week, now=at("07:00"))), at("07:00"))
    start(book, hand(at("09:55")), Start("D2", at("09:55")))
    with pytest.raises(ChangedMeanwhile, match="runs have started or ended"):
        post(book, doing(MANAGER, at("09:56")), number)


def test_a_note_in_a_started_run_stays_in_the_week_however_it_ends(tmp_path: Path):
    """Taken in with a record, its notes were never weighed in and may still be let go."""
    with fresh_shelf(tmp_path) as shelf, shelf.writing() as book:
        take_in(book, doing(MANAGER), DOWN)
        begun = DOWN.happened.runs[0].charges[0].note_id
        end_note(book, doing(MANAGER), begun, version=1, state="let go")
        asked = asked_of(book, DOWN.week, now=at("12:00", 2))
        assert begun in {each.id for each in asked.notes}
        assert asked.happened.runs == DOWN.happened.runs


def test_over_http(kitchen: Kitchen, plan: Plan):
    manager, cook = kitchen.by["manager"], kitchen.by["hand"]
    manager.post(f"/api/v1/weeks/{IN_WORDS}/post", {"plan": kitchen.laid_out(plan)})
    kitchen.now[0] = at("09:55")
    weighed = {"note_id": "R03", "weighed_kg": AUGUST.note("R03").field_g / 1000}
    assert cook.post("/api/v1/lots", weighed).status_code == 201
    key = {"Idempotency-Key": "one"}
    started = cook.post("/api/v1/runs", {"dryer_id": "D2"}, headers=key)
    assert started.status_code == 201
    assert cook.post("/api/v1/runs", {"dryer_id": "D2"}, headers=key).json() == started.json()
    path = started.headers["location"]
    assert cook.get(path).json() == started.json()
    assert started.json()["charges"] == [{"note_id": "R03", "racks": 18}]
    kitchen.now[0] = at("18:00")
    assert cook.post(f"{path}/unload", {}).status_code == 200  # its planned end is over
    assert cook.post(f"{path}/end", {}).status_code == 409
    (run,) = cook.get("/api/v1/runs", params={"week": IN_WORDS}).json()
    assert (run["ended"], run["unloaded"]) == (None, "2026-08-17T18:00:00-04:00")


def test_the_run_of_a_part_lot_is_started_as_posted_and_once(book: Book):
    weighed_in(book, "R03")
    start(book, hand(at("09:55")), Start("D2", at("09:55")))
    (run,) = kept_runs(book, AUGUST.week)
    stop = at("13:55")
    on = DriesOn("D1", run.run.set_point_c, at("16:00"), at("20:00"))
    part = PartLot("R03", "", Racks(9), Grams(16_000), "D2", stop, hours(4), 60.0, dries_on=on)
    others = replace(part, letter="B"), replace(part, letter="A")
    put_up(book, others)
    kept = start(book, hand(at("16:07")), Start("D1", at("16:07"), planned="part-lots 1"))
    assert kept.run.charges == (StartedCharge("R03", Racks(18)),)
    assert (kept.run.end, kept.run.set_point_c) == (at("20:07"), on.set_point_c)
    end(book, hand(at("20:10")), kept.number, at("20:07"))
    put_up(book, others)
    with pytest.raises(NotNow, match="no run of D1 is posted"):
        start(book, hand(at("21:00")), Start("D1", at("21:00")))


def put_up(book: Book, parts: tuple[PartLot, ...]) -> None:
    """A plan of part-lots alone as the posted one."""
    number = laid_out(book, Plan(AUGUST.week, "full", (), (), part_lots=parts))
    book.weeks.replace(replace(week_entry(book, AUGUST.week), posted=number))
