"""Posting on pages: every message before it is sent, who moves, and what is in the way."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from api.records.house import KitchenSettings
from scheduler.domain.kitchen import VotedCaps
from scheduler.domain.plan import Plan
from scheduler.verify import verify
from tests.answer.posted import otherwise
from tests.asking import Asking
from tests.served import AUGUST, WEEK, Kitchen, opened
from tests.shelves import FRIDAY
from tests.site import KEY, entered, send, words
from web.app import create_site

OUTBOX = "/messages"


@pytest.fixture(scope="module")
def other() -> Plan:
    made = otherwise(AUGUST)
    assert verify(AUGUST, made) == ()
    return made


@pytest.fixture
def kitchen(tmp_path: Path) -> Iterator[Kitchen]:
    with opened(tmp_path, create_site, key=KEY) as found:
        yield found


@pytest.fixture
def lotte(kitchen: Kitchen) -> Asking:
    return entered(kitchen, "manager")


def texts(page: str) -> list[str]:
    return [words(each) for each in re.findall(r"<blockquote.*?</blockquote>", page, re.DOTALL)]


def in_outbox(kitchen: Kitchen) -> list[str]:
    found = kitchen.by["manager"].get("/api/v1/messages?limit=200").json()["items"]
    return [each["text"] for each in found]


def posting(number: int) -> str:
    return f"/plans/{number}/post"


def test_every_message_is_seen_before_and_sent_as_seen(lotte: Asking, kitchen: Kitchen, plan: Plan):
    path = posting(kitchen.laid_out(plan))
    page = lotte.get(path).text
    assert "Post plan 1?" in page
    told = texts(page)
    assert any("R02 tomato 120 kg: bring Mon 17 12:30-15:30" in each for each in told)
    assert "R02, brings and works: new, Mon 17 Aug, 12:30 to 15:30, firm" in words(page)
    assert "notes become or stay firm 15" in words(page)
    assert in_outbox(kitchen) == [], "nothing is kept of a look"
    assert kitchen.by["manager"].get(f"/api/v1/weeks/{WEEK}").json()["state"] == "pencilled"

    answer = send(lotte, path, {})
    assert (answer.status_code, answer.headers["location"]) == (303, OUTBOX)
    assert in_outbox(kitchen) == told
    outbox = lotte.get(OUTBOX).text
    assert f"Plan 1 is posted; {len(told)} texts are to be sent." in outbox
    assert texts(outbox) == told


def test_a_posted_plan_opened_again_says_that_it_is_posted(
    lotte: Asking, kitchen: Kitchen, plan: Plan
):
    path = posting(kitchen.laid_out(plan))
    send(lotte, path, {})
    again = lotte.get(path)
    assert (again.status_code, "Plan 1 is posted already" in again.text) == (409, True)
    assert "Nothing was posted" not in again.text
    assert f'href="{OUTBOX}"' in again.text
    assert 'href="/plans/1"' in again.text
    with kitchen.shelf.writing() as book:
        book.plans.set_state(1, "closed")
    late = lotte.ask("POST", path, data={}, headers={"Origin": "http://kitchen"})
    assert (late.status_code, "Plan 1 is closed" in late.text) == (409, True)


def test_sent_twice_it_is_posted_once(lotte: Asking, kitchen: Kitchen, plan: Plan):
    path = posting(kitchen.laid_out(plan))
    key = re.search(r'name="once" value="([^"]+)"', lotte.get(path).text)
    assert key
    for _ in range(2):
        answer = lotte.ask(
            "POST", path, data={"once": key[1]}, headers={"Origin": "http://kitchen"}
        )
        assert answer.status_code == 303
    assert len(in_outbox(kitchen)) == len(set(in_outbox(kitchen)))


def test_what_changed_meanwhile_is_told_and_nothing_is_posted(
    lotte: Asking, kitchen: Kitchen, plan: Plan
):
    path = posting(kitchen.laid_out(plan))
    page = lotte.get(path).text
    key = re.search(r'name="once" value="([^"]+)"', page)
    assert key
    headers = {"If-Match": '"1"'}
    kitchen.by["manager"].ask("PATCH", "/api/v1/notes/R02", json={"field_kg": 90}, headers=headers)
    answer = lotte.ask("POST", path, data={"once": key[1]}, headers={"Origin": "http://kitchen"})
    assert answer.status_code == 409
    told = words(answer.text)
    assert "What changed since it was laid out note R02 changed" in told
    assert "Nothing was posted, and nobody was told anything." in told
    assert f'href="/lay-out?week={WEEK}"' in answer.text
    assert in_outbox(kitchen) == []
    assert "note R02 changed" in words(lotte.get(path).text)


def test_who_moves_is_told_and_moving_must_be_said(
    lotte: Asking, kitchen: Kitchen, plan: Plan, other: Plan
):
    send(lotte, posting(kitchen.laid_out(plan)), {})
    path = posting(kitchen.laid_out(other))
    refused = lotte.get(path)
    assert refused.status_code == 409
    assert "moves or drops" in refused.text
    same = re.search(r'href="(/plans/2/post\?[^"]*)">See what it would do', refused.text)
    assert same
    assert same[1] == "/plans/2/post?moving=yes"
    page = lotte.get(same[1]).text
    assert "Firm turns that could stand are moved, on purpose (rule 18)." in page
    assert re.search(r"R\d\d( [A-C])?, brings and works: .* instead of ", words(page))
    moving = page.count('<li class="asks">')
    assert moving > 0
    assert f"growers must move {moving}" in words(page)
    assert send(lotte, same[1], {}, form=path).status_code == 303
    with kitchen.shelf.reading() as book:
        (deed,) = book.deeds.where(act="post", subject=WEEK)[1:]
    assert deed.told["moving"] is True


def test_passing_a_cap_must_be_said(lotte: Asking, kitchen: Kitchen, plan: Plan):
    caps = VotedCaps(turns_a_month=1, standing_percent=100)
    with kitchen.shelf.writing() as book:
        book.settings.add(KitchenSettings(replace(AUGUST.kitchen, caps=caps), FRIDAY, "lotte"))
    path = posting(kitchen.laid_out(plan))
    refused = lotte.get(path).text
    assert "more than the members voted" in refused
    assert f"{path}?over_caps=yes" in refused
    page = lotte.get(f"{path}?over_caps=yes").text
    assert "More is made firm than the members voted, on purpose (rule 16)." in page


def test_the_outbox_empties_as_texts_are_sent(lotte: Asking, kitchen: Kitchen, plan: Plan):
    assert "Nothing is to be sent." in lotte.get(OUTBOX).text
    send(lotte, posting(kitchen.laid_out(plan)), {})
    page = lotte.get(OUTBOX).text
    before, (first, *_) = texts(page), re.findall(rf'action="({OUTBOX}/\d+/sent)"', page)
    send(lotte, OUTBOX, {}, form=first)
    page = lotte.get(OUTBOX).text
    assert texts(page) == before[1:]
    notice = re.search(r'<div class="notice".*?</div>', page, re.DOTALL)
    assert notice
    undo = re.search(r'action="([^"]+)"', notice[0])
    assert undo
    said = dict(re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', notice[0]))
    home = {"Origin": "http://kitchen"}
    assert lotte.ask("POST", undo[1], data=said, headers=home).status_code == 303
    page = lotte.get(OUTBOX).text
    assert texts(page) == before
    assert "It is to be sent still." in page
    assert lotte.ask("POST", undo[1], data=said, headers=home).status_code == 412, "an old Undo"


@pytest.mark.parametrize("role", ["hand", "grower", "board", "on_call"])
def test_it_is_the_managers_alone(kitchen: Kitchen, plan: Plan, role: str):
    path = posting(kitchen.laid_out(plan))
    asker = entered(kitchen, role)  # type: ignore[arg-type]
    assert asker.get(path).status_code == 403
    assert asker.get(OUTBOX).status_code == 403
    answer = asker.ask("POST", path, data={}, headers={"Origin": "http://kitchen"})
    assert answer.status_code == 403
