"""Waiting list on pages: reason, rule and remedy; the remedy one press away where it can be."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from api.services.asking import asked_of
from api.services.remedies import remedy_of
from scheduler.domain.asked import Asked
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.plan import Plan, Waiting
from scheduler.domain.rules import FULL
from scheduler.reasons.changes import later_starts, racks_of, splits
from scheduler.reasons.sentences import LONGER, NOT_ASKED, would_fit
from scheduler.units import Grams
from tests.asking import Asking
from tests.served import AUGUST, WEEK, Kitchen, opened
from tests.shelves import FRIDAY, fresh_shelf
from tests.site import HOME, KEY, entered, send, words
from web.app import create_site

LIST = "/waiting-list"
SOON = "2026-08-21T12:00:00-04:00"  # a latest start that a later one would ease
LATER = "2026-08-21T18:00:00-04:00"


@pytest.fixture
def kitchen(tmp_path: Path) -> Iterator[Kitchen]:
    with opened(tmp_path, create_site, key=KEY) as found:
        change = {"latest_start": SOON}
        found.by["manager"].ask(
            "PATCH", "/api/v1/notes/R26", json=change, headers={"If-Match": '"1"'}
        )
        yield found


@pytest.fixture
def lotte(kitchen: Kitchen) -> Asking:
    return entered(kitchen, "manager")


def asked_in(kitchen: Kitchen) -> Asked:
    with kitchen.shelf.reading() as book:
        return asked_of(book, AUGUST.week, now=FRIDAY)


def waits(asked: Asked, note_id: str, remedy: str, **more: object) -> Waiting:
    note = asked.note(note_id)
    told = {"rule": 4, "reason": "It keeps too short (rule 4).", "proved": True} | more
    return Waiting(note_id, note.field_g, Grams(1), remedy=remedy, **told)  # type: ignore[arg-type]


def laid_out(kitchen: Kitchen, plan: Plan) -> None:
    """With a later start that would place R26, and more time that would place R01."""
    asked = asked_in(kitchen)
    later = next(later_starts(asked, asked.note("R26"))).words
    waiting = (
        waits(asked, "R26", would_fit(later, in_part=False)),
        waits(asked, "R01", would_fit(LONGER, in_part=False)),
        waits(asked, "R15", "It would fit if there were one more dryer.", rule=5),
        waits(asked, "R24", "", rule=None, reason=NOT_ASKED),
    )
    kitchen.laid_out(replace(plan, waiting=waiting))


def row(page: str, note_id: str) -> str:
    found = re.search(rf"<h2>{note_id} .*?</li>", page, re.DOTALL)
    assert found
    return found[0]


def test_each_note_has_its_reason_rule_and_remedy(lotte: Asking, kitchen: Kitchen, plan: Plan):
    laid_out(kitchen, plan)
    told = words(row(lotte.get(LIST).text, "R26"))
    assert "R26 zucchini, 42 kg Meike Tarrick, Tarrick Rise It keeps too short (rule 4)." in told
    assert "It would fit if its latest start were Fri 21 Aug 18:00 instead of" in told
    assert "Proved by laying out with it." in told
    assert "Rule 4 of the kitchen: Not before the door" in told
    assert "No reason was looked for yet." in words(row(lotte.get(LIST).text, "R24"))


def test_a_later_start_is_one_press_away_and_can_be_undone(
    lotte: Asking, kitchen: Kitchen, plan: Plan
):
    laid_out(kitchen, plan)
    pressed = send(lotte, LIST, {}, form=f"{LIST}/R26/remedy")
    assert (pressed.status_code, pressed.headers["location"]) == (303, f"/lay-out?week={WEEK}")
    manager = kitchen.by["manager"]
    assert manager.get("/api/v1/notes/R26").json()["latest_start"] == LATER
    page = lotte.get(pressed.headers["location"]).text
    assert "R26 is changed. Lay out again to see its place." in page
    assert "/remedy" not in row(lotte.get(LIST).text, "R26"), "it is not as the plan knew it"
    notice = re.search(r'<div class="notice".*?</div>', page, re.DOTALL)
    assert notice
    undo = dict(re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', notice[0]))
    lotte.ask("POST", "/harvest-notes/R26/change", data=undo, headers=HOME)
    assert manager.get("/api/v1/notes/R26").json()["latest_start"] == SOON


def test_no_press_starts_a_lot_later_than_its_card_keeps_it(
    lotte: Asking, kitchen: Kitchen, plan: Plan
):
    asked = asked_in(kitchen)
    kept_to_the_end = asked.note("R03")
    card = asked.card(kept_to_the_end.card_id)
    assert kept_to_the_end.latest_start - kept_to_the_end.arrives == timedelta(
        seconds=card.keeping_s
    )
    later = next(later_starts(asked, kept_to_the_end)).words
    waiting = (waits(asked, "R03", would_fit(later, in_part=False)),)
    number = kitchen.laid_out(replace(plan, waiting=waiting))
    told = row(lotte.get(LIST).text, "R03")
    assert "It would fit if its latest start were" in words(told)
    assert "its process card keeps the crop no longer" in words(told)
    assert "<form" not in told
    said = {"plan": str(number), "version": "1"}
    sent = lotte.ask("POST", f"{LIST}/R03/remedy", data=said, headers=HOME)
    assert sent.status_code == 409
    assert kitchen.by["manager"].get("/api/v1/notes/R03").json()["version"] == 1


def test_a_remedy_pressed_twice_is_done_once(lotte: Asking, kitchen: Kitchen, plan: Plan):
    laid_out(kitchen, plan)
    form = re.search(rf'action="{LIST}/R26/remedy".*?</form>', lotte.get(LIST).text, re.DOTALL)
    assert form
    said = dict(re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', form[0]))
    for _ in range(2):
        answer = lotte.ask("POST", f"{LIST}/R26/remedy", data=said, headers=HOME)
        assert answer.status_code == 303
    stale = lotte.ask("POST", f"{LIST}/R26/remedy", data=said | {"once": "other"}, headers=HOME)
    assert (stale.status_code, "lay out again" in stale.text) == (409, True)


def test_more_time_is_one_press_away(lotte: Asking, kitchen: Kitchen, plan: Plan):
    laid_out(kitchen, plan)
    pressed = send(lotte, LIST, {}, form="/lay-out")
    assert pressed.headers["location"] == "/lay-out/1"
    with kitchen.shelf.reading() as book:
        job = book.jobs.find(1)
    assert job is not None
    assert (str(job.week), job.seconds) == (WEEK, 300)


def test_what_no_press_can_do_has_none(lotte: Asking, kitchen: Kitchen, plan: Plan):
    laid_out(kitchen, plan)
    assert "<form" not in row(lotte.get(LIST).text, "R15")
    assert lotte.ask("POST", f"{LIST}/R15/remedy", data={"plan": "1", "version": "1"},
                     headers=HOME).status_code == 409  # fmt: skip


def test_a_hand_reads_it_and_may_press_what_changes_a_note(kitchen: Kitchen, plan: Plan):
    laid_out(kitchen, plan)
    page = entered(kitchen, "hand").get(LIST).text
    assert f"{LIST}/R26/remedy" in page
    assert 'action="/lay-out"' not in page
    assert "Carry it over" not in page


def test_a_hand_who_pressed_is_led_to_a_page_that_is_hers(kitchen: Kitchen, plan: Plan):
    laid_out(kitchen, plan)
    sal = entered(kitchen, "hand")
    pressed = send(sal, LIST, {}, form=f"{LIST}/R26/remedy")
    assert (pressed.status_code, pressed.headers["location"]) == (303, f"{LIST}?plan=1")
    page = sal.get(pressed.headers["location"])
    assert page.status_code == 200
    assert "R26 is changed. The next lay-out shows its place." in page.text


def test_empty_states_teach(lotte: Asking, kitchen: Kitchen, plan: Plan):
    assert "No plan yet" in lotte.get(LIST).text
    number = kitchen.laid_out(replace(plan, waiting=()))
    assert "Nobody waits" in lotte.get(f"{LIST}?plan={number}").text
    assert lotte.get(f"{LIST}?plan=99").status_code == 404


def test_without_people_the_demos_week_can_be_read(tmp_path: Path, plan: Plan):
    with fresh_shelf(tmp_path) as shelf:
        site = Asking(create_site(shelf), base_url="http://localhost")
        assert "No plan yet" in site.get(LIST).text


def test_leave_to_split_is_a_press_only_where_the_card_allows_it():
    def found(note: HarvestNote) -> list[dict[str, object] | None]:
        notes = tuple(note if each.id == note.id else each for each in AUGUST.notes)
        asked = replace(AUGUST, notes=notes)
        remedies = (
            remedy_of(asked, waits(asked, note.id, would_fit(each.words, in_part=False)))
            for each in splits(asked, FULL, note)
        )
        return [each.to if each else None for each in remedies]

    assert found(replace(AUGUST.note("R02"), may_split=False)) == [{"may_split": True}]
    small = [
        note
        for note in AUGUST.notes
        if racks_of(AUGUST, note) < AUGUST.card(note.card_id).split_from_racks and found(note)
    ]
    assert small
    assert all(not any(found(note)) for note in small), "too few racks, by the card"


@pytest.mark.parametrize("role", ["grower", "board", "on_call"])
def test_it_is_the_kitchens(kitchen: Kitchen, role: str):
    assert entered(kitchen, role).get(LIST).status_code == 403  # type: ignore[arg-type]
