"""Remedies that change more than the note: hours of the kitchen, what is pinned; and what none
can."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from api.records.plans import From
from api.services.asking import asked_of
from api.services.house import in_force
from api.services.outages import down, outages, up
from api.services.plans import keep
from api.services.weeks import week_entry
from api.services.wishes import when, wish_for
from scheduler.domain.asked import Asked
from scheduler.domain.kitchen import Kitchen as House
from scheduler.domain.plan import Plan
from scheduler.domain.rules import FULL
from scheduler.domain.wish import Wish
from scheduler.reasons.more import a_hand_more, a_station_more, an_hour_more
from scheduler.reasons.sentences import would_fit
from scheduler.reasons.wished import without_wishes
from tests.asking import Asking
from tests.book import MANAGER, doing
from tests.served import AUGUST, Kitchen, opened
from tests.shelves import FRIDAY
from tests.site import HOME, KEY, entered, send, words
from tests.web.test_waiting_pages import row, waits
from web.app import create_site

LIST = "/waiting-list"
NOW = doing(MANAGER)
PINNED = Wish(0, "pin", "R24", "D1", when(AUGUST.kitchen.zone, day=AUGUST.week.days[0]))


@pytest.fixture
def kitchen(tmp_path: Path, plan: Plan) -> Iterator[Kitchen]:
    """R26 would fit with an hour more, R24 without its pin, R15 with a table, R01 with a hand."""
    with opened(tmp_path, create_site, key=KEY) as found:
        with found.shelf.writing() as book:
            wish_for(book, NOW, AUGUST.week, PINNED)
            asked = asked_of(book, AUGUST.week, now=FRIDAY)
            waiting = tuple(waits(asked, *each) for each in remedies(asked))
            origin = From(week_entry(book, AUGUST.week).notes_version, None, "lotte")
            made = replace(plan, waiting=waiting)
            keep(book.plans, asked, made, laid_out_at=FRIDAY, origin=origin)
        yield found


def remedies(asked: Asked) -> Iterator[tuple[str, str]]:
    changes = {
        "R26": an_hour_more(asked, asked.note("R26")),
        "R24": without_wishes(asked, asked.note("R24")),
        "R15": a_station_more(asked, FULL, asked.note("R15")),
        "R01": a_hand_more(asked, FULL, asked.note("R01")),
    }
    for note_id, kinds in changes.items():
        yield note_id, would_fit(next(kinds).words, in_part=False)


@pytest.fixture
def lotte(kitchen: Kitchen) -> Asking:
    return entered(kitchen, "manager")


def house(kitchen: Kitchen) -> House:
    with kitchen.shelf.reading() as book:
        return in_force(book).kitchen


def test_an_hour_more_is_one_press_away_and_undone_as_it_was(kitchen: Kitchen, lotte: Asking):
    before = house(kitchen)
    page = row(lotte.get(LIST).text, "R26")
    assert "in every week until changed back" in words(page)
    pressed = send(lotte, LIST, {}, form=f"{LIST}/R26/hours")
    assert pressed.status_code == 303, words(pressed.text)
    after = house(kitchen)
    changed = [(a, b) for a, b in zip(before.staffed, after.staffed, strict=True) if a != b]
    ((old, new),) = changed
    assert (new.weekday, new.opens) == (old.weekday, old.opens)
    assert new.closes.hour == old.closes.hour + 1
    assert before.hands != after.hands
    page = lotte.get(pressed.headers["location"]).text
    assert "/hours" not in row(page, "R26"), "they are not as the plan knew them"
    notice = re.search(r'<div class="notice".*?</div>', page, re.DOTALL)
    assert notice
    undo = dict(re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', notice[0]))
    undone = lotte.ask("POST", f"{LIST}/hours-as-before", data=undo, headers=HOME)
    assert undone.status_code == 303
    assert house(kitchen) == before


def test_hours_that_changed_meanwhile_are_not_changed_by_an_old_press(
    kitchen: Kitchen, lotte: Asking
):
    said = {"plan": "1", "version": "1"}
    first = lotte.ask("POST", f"{LIST}/R26/hours", data=said, headers=HOME)
    again = lotte.ask("POST", f"{LIST}/R26/hours", data=said | {"once": "x"}, headers=HOME)
    assert (first.status_code, again.status_code) == (303, 409)
    other = lotte.ask("POST", f"{LIST}/R24/hours", data=said | {"once": "y"}, headers=HOME)
    assert other.status_code == 409


def test_what_is_pinned_is_let_go_of_by_one_press(kitchen: Kitchen, lotte: Asking):
    pressed = send(lotte, LIST, {}, form=f"{LIST}/R24/unpin")
    assert pressed.headers["location"] == f"/pinned/{AUGUST.week}"
    with kitchen.shelf.reading() as book:
        assert asked_of(book, AUGUST.week, now=FRIDAY).wishes == ()
    assert "/unpin" not in lotte.get(LIST).text
    again = lotte.ask("POST", f"{LIST}/R24/unpin", data={"plan": "1"}, headers=HOME)
    assert again.status_code == 409


def test_a_station_more_is_told_in_words_and_one_that_is_down_by_its_name(
    kitchen: Kitchen, lotte: Asking
):
    for note_id in ("R15", "R01"):
        page = row(lotte.get(LIST).text, note_id)
        assert "<form" not in page
        assert "would have to be another" in words(page)
    table = AUGUST.kitchen.tables[-1].id
    with kitchen.shelf.writing() as book:
        down(book, NOW, table, stopped=FRIDAY)
    assert f"{table} is down; lay out again once it is back." in words(
        row(lotte.get(LIST).text, "R15")
    )
    with kitchen.shelf.writing() as book:
        (stop,) = outages(book, NOW, open_only=True)
        up(book, NOW, stop.number, version=stop.version, back=FRIDAY)
    assert "is down" not in words(row(lotte.get(LIST).text, "R15"))


def test_a_hand_has_no_press_for_what_is_the_managers(kitchen: Kitchen):
    sal = entered(kitchen, "hand")
    page = sal.get(LIST).text
    assert "/hours" not in page
    assert "/unpin" not in page
    for path, said in ((f"{LIST}/R26/hours", {"plan": "1", "version": "1"}),
                       (f"{LIST}/R24/unpin", {"plan": "1"})):  # fmt: skip
        assert sal.ask("POST", path, data=said, headers=HOME).status_code == 403
