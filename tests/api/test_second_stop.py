"""The cold store stops under a posted part-lot: its clock, its ways, and the next mend."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from api.services.asking import asked_of
from api.services.emergencies import part_lots_of_log, proposed
from api.services.night_lines import Wrote, write_night_log
from api.services.night_log import night_log
from api.services.outages import down
from api.services.ports import Book
from api.services.taking_in import take_in
from scheduler.domain.outage import Happened
from scheduler.domain.part_lot import DriesOn
from scheduler.domain.plan import Plan
from scheduler.emergency import asked_in_hand, proposals, stopped_stations, with_parts
from scheduler.verify import verify
from tests.api.night_logs import NIGHT, STOP, at, jun
from tests.api.test_runs import put_up
from tests.book import HAND, MANAGER, doing
from tests.shelves import fresh_shelf

AGAIN = at("02:00")
PARTS = next(proposals(NIGHT, None, "D3", STOP))
PLAN = Plan(NIGHT.week, "full", (), (), part_lots=PARTS)
LATER = DriesOn("D2", 57.0, at("11:30"), at("16:30"))
BOTH = (replace(PARTS[0], held=PARTS[1].held, dries_on=LATER), PARTS[1])


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    """A dries on in D2, B is in the cold store, which stops at two."""
    asked = replace(NIGHT, happened=Happened(NIGHT.happened.now, NIGHT.happened.runs, ()))
    with fresh_shelf(tmp_path) as shelf, shelf.writing() as found:
        take_in(found, doing(MANAGER), asked)
        down(found, doing(HAND, at("22:45", 18)), "D3", stopped=STOP)
        put_up(found, PARTS)
        down(found, doing(HAND, AGAIN), "K1", stopped=AGAIN)
        yield found


def number(book: Book) -> int:
    return book.outages.where(station_id="K1")[0].number


def test_its_clock_goes_on_on_the_page_of_the_second_stop(book: Book):
    (found,) = night_log(book, jun(at("02:30")), number(book)).clocks
    assert (found.part, found.racks, found.clock.runs) == ("R09 B", 20, True)
    assert found.clock.exposed_s == (140 + 30) * 60
    assert found.clock.ask_by == at("03:40")


def test_another_cold_place_is_proposed_and_once_it_is_there_the_mend_has_it(book: Book):
    found = proposed(book, doing(MANAGER, at("02:10")), number(book))
    assert found
    assert [each.code for each in found.found.part_lots] == ["R09 B"]
    assert found.found.part_lots[0].held
    when = at("03:00")
    write_night_log(book, jun(when), number(book), Wrote("R09 B", "into the cold", "", 3))
    asked = asked_of(book, NIGHT.week, now=when)
    (part,) = part_lots_of_log(book, doing(MANAGER, when), asked, PLAN, when)
    assert (part.station_id, part.stopped, part.held and part.held.station_id) == (
        "K1", AGAIN, "F1",
    )  # fmt: skip
    made = with_parts(PLAN, [part])
    faults = verify(asked_in_hand(asked, made, when), made)
    assert [each for each in faults if "R09" in each.message] == []


def test_once_its_mend_is_posted_its_night_log_goes_on(book: Book):
    asked = asked_of(book, NIGHT.week, now=AGAIN)
    (again,) = next(proposals(asked, PLAN, "K1", AGAIN))
    put_up(book, with_parts(PLAN, [again]).part_lots)
    wrote = Wrote("R09 B", "found warm", "", 15)
    (found,) = write_night_log(book, jun(at("02:40")), number(book), wrote).clocks
    assert (found.part, found.clock.exposed_s) == ("R09 B", (140 + 40) * 60)


def test_one_of_two_in_the_stopped_cold_store_is_moved_and_the_other_stays_asked(book: Book):
    put_up(book, BOTH)
    when = at("03:00")
    write_night_log(book, jun(when), number(book), Wrote("R09 A", "back to dryer"))
    found = proposed(book, doing(MANAGER, when), number(book))
    assert found
    assert [each.code for each in found.found.part_lots] == ["R09 B"]
    assert list(found.found.ways) == ["R09 B"]
    asked, plan = asked_of(book, NIGHT.week, now=when), replace(PLAN, part_lots=BOTH)
    made = with_parts(plan, part_lots_of_log(book, doing(MANAGER, when), asked, plan, when))
    told = asked_in_hand(asked, made, when)
    assert stopped_stations(told, made, when) == []
    assert [each for each in verify(told, made) if "R09" in each.message] == []


@pytest.fixture
def late(book: Book) -> Book:
    """B came into the cold an hour after it was planned."""
    first = book.outages.where(station_id="D3")[0].number
    wrote = Wrote("R09 B", "into the cold", "", 3, at("01:30"))
    write_night_log(book, jun(at("02:05")), first, wrote)
    return book


def test_what_came_into_the_cold_late_has_stood_as_long_as_its_log_tells(late: Book):
    now = at("02:10")
    (clock,) = night_log(late, jun(now), number(late)).clocks
    assert (clock.stood_s, clock.clock.exposed_s) == (200 * 60, 210 * 60)
    found = proposed(late, doing(MANAGER, now), number(late))
    assert found
    assert [each.stood_s for each in found.found.part_lots] == [200 * 60]


def test_the_mend_of_the_second_stop_starts_from_the_log_of_the_first(late: Book):
    now = at("02:10")
    asked = asked_of(late, NIGHT.week, now=now)
    (was,) = part_lots_of_log(late, doing(MANAGER, now), asked, PLAN, now)
    planned = PARTS[1].held
    assert planned
    assert was == replace(PARTS[1], held=replace(planned, since=at("01:30")))
    plan = with_parts(PLAN, [was])
    (again,) = next(proposals(asked_in_hand(asked, plan, now), plan, "K1", now))
    assert (again.station_id, again.stood_s) == ("K1", 200 * 60)
    made = with_parts(plan, [again])
    faults = verify(asked_in_hand(asked, made, now), made)
    assert [each for each in faults if "R09" in each.message] == []


def test_what_went_as_planned_stays_as_it_is_planned(book: Book):
    first = book.outages.where(station_id="D3")[0].number
    wrote = Wrote("R09 B", "into the cold", "", 3, at("00:28"))
    write_night_log(book, jun(at("02:05")), first, wrote)
    asked = asked_of(book, NIGHT.week, now=at("02:10"))
    assert part_lots_of_log(book, doing(MANAGER, at("02:10")), asked, PLAN, at("02:10")) == ()
