"""The night log: written and never unwritten, clocks of part-lots, a named person's decision."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from api.records.happened import OutageEntry
from api.services.emergencies import proposed
from api.services.errors import NotAllowed, NotNow
from api.services.night import night_of, week_inside
from api.services.night_lines import Decided, Wrote, decide, parts_inside, write_night_log
from api.services.night_log import night_log, recent_logs
from api.services.outages import down, up
from api.services.ports import Book
from api.services.roles import Doing
from api.services.taking_in import take_in
from scheduler.domain.outage import Happened
from scheduler.errors import BadInput
from scheduler.units import HOUR
from tests.api.night_logs import NIGHT, STOP, at, jun, number, stopped_night, writes
from tests.book import GROWER, HAND, MANAGER, ON_CALL, doing
from tests.shelves import fresh_shelf


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    with stopped_night(tmp_path) as found:
        yield found


def test_at_the_door_at_2245_the_clock_stands_at_35_minutes(book: Book):
    (found,) = night_log(book, jun(at("22:45", 18)), number(book)).clocks
    assert (found.part, found.racks, found.clock.exposed_s) == ("R09", 40, 35 * 60)
    assert found.clock.ask_by == at("02:10")
    assert not found.asks


def test_the_human_answer_keeps_both_parts_inside_the_limit(book: Book):
    writes(book, at("00:00"), "R09 A", "back to dryer")
    parts = {each.part: each for each in writes(book, at("00:30"), "R09 B", "into the cold", 3)}
    assert parts["R09 A"].clock.exposed_s == 110 * 60
    assert parts["R09 B"].clock.exposed_s == 140 * 60
    assert not any(each.clock.runs for each in parts.values())
    later = night_log(book, doing(MANAGER, at("08:00")), number(book))
    assert {each.clock.exposed_s for each in later.clocks} == {110 * 60, 140 * 60}


def test_part_b_at_14_degrees_is_over_the_limit_asked_and_not_decided(book: Book):
    writes(book, at("00:00"), "R09 A", "back to dryer")
    writes(book, at("00:30"), "R09 B", "into the cold", 3)
    first = writes(book, at("02:30"), "R09 B", "found warm", 14)[0]
    assert (first.part, first.clock.exposed_s) == ("R09 B", 4 * HOUR + 20 * 60)
    assert (first.asks, first.decided) == (True, None)
    who = jun(at("02:40"))
    with pytest.raises(BadInput, match="must be filled in"):
        decide(book, who, number(book), part="R09 B", decided=Decided("discard", " "))
    with pytest.raises(NotNow, match="nothing is asked about R09 A"):
        decide(book, who, number(book), part="R09 A", decided=Decided("x", "Lotte Amberry"))
    said = Decided("discard it", "Lotte Amberry", discards=True)
    done = decide(book, who, number(book), part="R09 B", decided=said)
    (decided,) = [each for each in done.entries if each.decided_by]
    assert (decided.text, decided.decided_by, decided.by) == (
        "discard it", "Lotte Amberry", "nell"
    )  # fmt: skip
    assert not any(each.asks for each in done.clocks)
    assert [each.seen for each in done.entries] == [
        "back to dryer", "into the cold", "found warm", "decided",
    ]  # fmt: skip
    assert done.entries[2].celsius == 14


def test_what_cannot_be_is_refused(book: Book):
    with pytest.raises(BadInput, match="R11 was not inside"):
        writes(book, at("00:00"), "R11", "into the cold")
    with pytest.raises(BadInput, match="must be chosen"):
        writes(book, at("00:00"), "", "into the cold")
    for when, told in ((at("03:00"), "has not come"), (at("20:00", 18), "before it stopped")):
        wrote = Wrote("R09", "noted", "x", at=when)
        with pytest.raises(BadInput, match=told):
            write_night_log(book, jun(at("00:00")), number(book), wrote)
    with pytest.raises(NotAllowed):
        write_night_log(book, doing(GROWER, at("00:00")), number(book), Wrote("", "noted", "x"))


def test_a_run_of_sunday_that_stops_on_monday_is_of_its_own_week(tmp_path: Path):
    later = timedelta(days=5)
    runs = tuple(
        replace(each, start=each.start + later, end=each.end + later)
        for each in NIGHT.happened.runs
        if each.charges[0].note_id == "R09"
    )
    now = at("02:05", 24)
    with fresh_shelf(tmp_path) as shelf, shelf.writing() as found:
        take_in(found, doing(MANAGER), replace(NIGHT, happened=Happened(now, runs, ())))
        stop = down(found, doing(HAND, now), "D3", stopped=at("02:00", 24), cause="fan motor")
        told = proposed(found, doing(MANAGER, now), stop.number)
        _, house = night_of(found, doing(MANAGER, now), stop.number)
        assert house
        assert week_inside(house, stop) == NIGHT.week
    assert told
    assert {each.note_id for each in told.found.part_lots} == {"R09"}


def test_every_line_is_in_the_trail_of_deeds(book: Book):
    writes(book, at("00:00"), "", "noted")
    assert book.deeds.last(act="keep night log", subject="D3")


def test_what_is_in_control_is_proposed_no_more(book: Book):
    writes(book, at("00:00"), "R09 A", "back to dryer")
    found = proposed(book, doing(MANAGER, at("00:10")), number(book))
    assert found
    (second,) = found.found.part_lots
    assert (second.code, second.racks) == ("R09 B", 20)
    writes(book, at("00:30"), "R09 B", "into the cold", 3)
    assert proposed(book, doing(MANAGER, at("08:00")), number(book)) is None


def test_no_way_is_told_that_its_clock_does_not_let(book: Book):
    found = proposed(book, doing(MANAGER, at("08:00")), number(book))
    assert found
    assert found.found.ways == {"R09": ()}
    assert [each.code for each in found.found.decisions] == ["R09"]


def test_14_degrees_are_not_cold_whatever_is_written(book: Book):
    (found,) = writes(book, at("00:30"), "R09", "into the cold", 14)
    assert (found.clock.runs, found.clock.exposed_s) == (True, 140 * 60)
    writes(book, at("01:00"), "R09", "into the cold", 3)
    (found,) = writes(book, at("02:30"), "R09", "noted", 14)
    assert (found.clock.runs, found.asks) == (True, True)
    (found,) = writes(book, at("02:40"), "R09", "back to dryer", 40)
    assert not found.clock.runs


def test_a_decision_holds_for_what_was_known_of(book: Book):
    writes(book, at("03:00"), "R09", "noted", 14)
    who, told = jun(at("03:05")), "into the freezer"
    decide(book, who, number(book), part="R09", decided=Decided(told, "Lotte Amberry"))
    (found,) = writes(book, at("03:10"), "R09", "into the cold", 3)
    assert not found.asks
    (found,) = writes(book, at("09:00"), "R09", "found warm", 20)
    assert found.asks


def test_a_line_is_of_what_has_a_clock(book: Book):
    (whole,) = night_log(book, jun(at("22:45", 18)), number(book)).clocks
    assert parts_inside([whole]) == ("R09", "R09 A", "R09 B")
    lettered = replace(whole, code="R09 A", part="R09 A")
    assert parts_inside([lettered]) == ("R09 A", "R09 A A", "R09 A B")
    assert parts_inside([replace(lettered, is_part_lot=True)]) == ("R09 A",)
    halves = writes(book, at("00:30"), "R09 B", "into the cold", 3)
    assert set(parts_inside(halves)) == {"R09", "R09 A", "R09 B"}


def comes_back(book: Book, when: datetime) -> None:
    stop = book.outages.where(station_id="D3")[0]
    up(book, doing(MANAGER, when), stop.number, version=stop.version, back=when)


def due(book: Book, who: Doing) -> list[str]:
    return [clock.part for log in recent_logs(book, who) for clock in log.clocks if clock.is_due]


def test_a_clock_stays_on_the_sheet_though_the_dryer_was_down_for_longer_than_a_day(book: Book):
    back = STOP + timedelta(hours=26)
    comes_back(book, back)
    for who in (ON_CALL, MANAGER):
        assert due(book, doing(who, back + timedelta(hours=23))) == ["R09"]
        assert due(book, doing(who, back + timedelta(hours=25))) == []


def test_what_was_written_of_stays_on_the_sheet_until_somebody_decides(book: Book):
    writes(book, at("23:00", 18), "R09", "out in the warm")
    comes_back(book, at("23:40", 18))
    later = doing(MANAGER, at("23:45", 21))
    assert due(book, later) == ["R09"]
    assert due(book, jun(later.at)) == []
    decide(book, later, number(book), part="R09", decided=Decided("gone", "Lotte", True))
    assert recent_logs(book, later) == ()


def test_a_stop_kept_with_parts_of_a_second_is_read_to_the_second():
    entry = OutageEntry("D3", STOP + timedelta(microseconds=123_456), None, "fan motor", HAND.id)
    assert entry.stopped == entry.outage.stopped == STOP
