"""The night log on the page of a stop: at 22:45 on a phone, and the limit at 02:30."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from api.services.night_lines import Wrote, write_night_log
from api.services.outages import down, up
from api.services.taking_in import take_in
from scheduler.domain.outage import Happened
from scheduler.emergency import proposals
from scheduler.scenario import load
from tests.api.night_logs import STOP, at, jun
from tests.api.test_runs import put_up
from tests.asking import Asking
from tests.book import HAND, MANAGER, PEOPLE, add_people, doing, token_of
from tests.lent import lent
from tests.served import Kitchen
from tests.shelves import fresh_shelf
from tests.site import KEY, entered, send
from tests.web.test_dry_check import words
from web.app import create_site

NIGHT = load("dryer_down")


@pytest.fixture
def kitchen(tmp_path: Path) -> Iterator[Kitchen]:
    now: list[datetime] = [at("22:45", 18)]
    asked = replace(NIGHT, happened=Happened(NIGHT.happened.now, NIGHT.happened.runs, ()))
    with fresh_shelf(tmp_path) as shelf:
        with shelf.writing() as book:
            take_in(book, doing(MANAGER), asked)
            add_people(book)
            down(book, doing(HAND, now[0]), "D3", stopped=STOP, cause="fan motor")
        with lent(create_site, shelf, lambda: now[0], key=KEY) as app:
            with shelf.writing() as book:
                by = {role: Asking(app, token_of(book, PEOPLE[role])) for role in PEOPLE}
            yield Kitchen(shelf, by, now)


STOPPED = "/night-sheet/stopped/1"


def test_at_2245_the_clock_is_there_and_a_line_is_one_form(kitchen: Kitchen):
    jun = entered(kitchen, "on_call")
    told = words(jun.get(STOPPED).text)
    assert "R09 tomato 35 min of 4 h in the warm" in told
    assert "It runs: ask the manager by Wed 19 Aug, 02:10." in told
    assert "R09 A, 20 racks, about" in told
    assert "dries on in D2, Wed 19 Aug, 00:" in told
    assert "R09 B, 20 racks, about" in told
    assert "into the cold at K1 by" in told
    assert "Then ring, in this order: G11 Davit Kessane: R09" in told
    assert "Due D3, R09: 35 min of 4 h in the warm" in words(jun.get("/night-sheet").text)
    kitchen.now[0] = at("00:30")
    said = {"part": "R09 B", "seen": "into the cold", "celsius": "3,5"}
    assert send(jun, STOPPED, said, form=f"{STOPPED}/log").status_code == 303
    told = words(jun.get(STOPPED).text)
    assert "R09 B tomato 2 h 20 min of 4 h in the warm It stands still" in told
    assert "Wed 19 Aug, 00:30: R09 B into the cold 3.5 °C [Nell Harrow]" in told


def test_over_the_limit_a_named_person_is_asked_and_the_log_tells_it(kitchen: Kitchen):
    jun = entered(kitchen, "on_call")
    kitchen.now[0] = at("00:30")
    send(jun, STOPPED, {"part": "R09 B", "seen": "into the cold"}, form=f"{STOPPED}/log")
    kitchen.now[0] = at("02:30")
    warm = {"part": "R09 B", "seen": "found warm", "celsius": "14"}
    send(jun, STOPPED, warm, form=f"{STOPPED}/log")
    told = words(jun.get(STOPPED).text)
    assert "R09 B tomato 4 h 20 min of 4 h in the warm" in told
    assert "Over the house limit by 20 min: a named person decides." in told
    assert " safe" not in told
    said = {"part": "R09 B", "decision": "discard it", "decided_by": "Lotte Amberry"}
    said["discards"] = "yes"
    assert send(jun, STOPPED, said, form=f"{STOPPED}/decide").status_code == 303
    told = words(jun.get(STOPPED).text)
    assert "Lotte Amberry decided to discard them: discard it" in told
    assert "R09 B decided discard it (Lotte Amberry) [Nell Harrow]" in told
    body = kitchen.by["on_call"].get("/api/v1/outages/1/night-log").json()
    assert [each["seen"] for each in body["lines"]] == ["into the cold", "found warm", "decided"]
    assert [each["discards"] for each in body["lines"]] == [False, False, True]
    assert {each["part"]: each["over"] for each in body["clocks"]}["R09 B"]


def test_in_spanish(kitchen: Kitchen):
    page = entered(kitchen, "on_call").get(STOPPED, headers={"Accept-Language": "es"}).text
    assert "35 min de 4 h en el calor" in words(page)


def test_a_refused_line_keeps_what_was_typed(kitchen: Kitchen):
    jun = entered(kitchen, "on_call")
    for said in (
        {"part": "", "seen": "into the cold", "text": "door was open"},
        {"part": "R09", "seen": "noted", "celsius": "abc", "text": "door was open"},
    ):
        answer = send(jun, STOPPED, said, form=f"{STOPPED}/log")
        assert answer.status_code == 422
        assert 'value="door was open"' in answer.text
        assert "Something must be put right" in words(answer.text)


def test_nobody_signs_for_another_at_one_press(kitchen: Kitchen):
    jun = entered(kitchen, "on_call")
    kitchen.now[0] = at("03:00")
    said = {"part": "R09", "decision": "discard it", "decided_by": ""}
    answer = send(jun, STOPPED, said, form=f"{STOPPED}/decide")
    assert answer.status_code == 422
    assert 'value="discard it"' in answer.text
    assert 'value="Lotte Amberry"' not in answer.text


def test_racks_that_stand_warm_are_due_though_their_dryer_is_back(kitchen: Kitchen):
    jun = entered(kitchen, "on_call")
    kitchen.now[0] = at("23:00", 18)
    with kitchen.shelf.writing() as book:
        stop = book.outages.where(station_id="D3")[0]
        up(book, doing(HAND, at("23:00", 18)), stop.number, version=stop.version,
           back=at("23:00", 18))  # fmt: skip
    kitchen.now[0] = at("02:00")
    assert "Due D3, R09: 3 h 50 min of 4 h in the warm" in words(jun.get("/night-sheet").text)
    line = {"part": "R09", "seen": "back to dryer"}
    assert send(jun, STOPPED, line, form=f"{STOPPED}/log").status_code == 303
    assert "Due D3" not in words(jun.get("/night-sheet").text)


def comes_back(kitchen: Kitchen, when: datetime) -> None:
    kitchen.now[0] = when
    with kitchen.shelf.writing() as book:
        (stop,) = book.outages.where(station_id="D3")
        up(book, doing(HAND, when), stop.number, version=stop.version, back=when)


def test_when_it_is_up_again_the_racks_that_nobody_moved_are_asked_for(kitchen: Kitchen):
    jun, question = entered(kitchen, "on_call"), "Are these racks still inside?"
    assert question not in words(jun.get(STOPPED).text)
    comes_back(kitchen, at("23:40", 18))
    kitchen.now[0] = at("23:50", 18)
    assert question in words(jun.get(STOPPED).text)
    assert "Due D3, R09: 1 h 40 min" in words(jun.get("/night-sheet").text)
    page = jun.get(STOPPED).text
    assert '<label for="since-R09">' in page
    assert re.search(r'<input value="23:50" id="since-R09" name="at" type="time"', page)
    assert send(jun, STOPPED, {"at": "23:40"}, form=f"{STOPPED}/log").status_code == 303
    told = words(jun.get(STOPPED).text)
    assert question not in told
    assert "R09 tomato 1 h 30 min of 4 h in the warm It stands still" in told
    assert "Due" not in words(jun.get("/night-sheet").text)


def test_over_the_limit_no_press_answers_for_who_decides(kitchen: Kitchen):
    jun = entered(kitchen, "on_call")
    comes_back(kitchen, at("23:40", 18))
    kitchen.now[0] = at("02:20")
    told = words(jun.get(STOPPED).text)
    assert "a named person decides" in told
    assert "still inside?" not in told


def test_what_was_moved_is_not_asked_for(kitchen: Kitchen):
    jun = entered(kitchen, "on_call")
    kitchen.now[0] = at("23:00", 18)
    out = {"part": "R09", "seen": "out in the warm"}
    assert send(jun, STOPPED, out, form=f"{STOPPED}/log").status_code == 303
    comes_back(kitchen, at("23:40", 18))
    assert "still inside?" not in words(jun.get(STOPPED).text)


def test_the_page_of_a_second_stop_counts_what_the_log_of_the_first_tells(kitchen: Kitchen):
    """Planned into the cold at 00:30, there at 01:30; the cold store stops at two."""
    with kitchen.shelf.writing() as book:
        put_up(book, next(proposals(NIGHT, None, "D3", STOP)))
        wrote = Wrote("R09 B", "into the cold", "", 3, at("01:30"))
        write_night_log(book, jun(at("01:40")), 1, wrote)
        down(book, doing(HAND, at("02:00")), "K1", stopped=at("02:00"))
        number = book.outages.where(station_id="K1")[0].number
    kitchen.now[0] = at("02:10")
    told = words(entered(kitchen, "on_call").get(f"/night-sheet/stopped/{number}").text)
    assert "Ask the manager by Wed 19 Aug, 02:40." in told
    assert "It has stood warm for 3 h 20 min before" in told
    assert "It runs: ask the manager by Wed 19 Aug, 02:40." in told
