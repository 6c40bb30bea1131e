"""Rule 15 decided in one place: a letter that ends on the Wednesday, seen from everywhere."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from api.records.house import KeptPaper
from api.services.asking import asked_of
from api.services.coming import touched_by
from api.services.notes import as_seen, note
from api.services.papers import card_approved, paper_seen
from api.services.ports import Book
from api.services.posting import Posted, post
from api.services.roles import Act
from api.services.taking_in import take_in
from scheduler.answer import Answer, answered
from scheduler.day_sheet import day_sheet
from scheduler.domain.plan import Plan
from scheduler.papers import papers_short
from scheduler.scenario import load
from tests.answer.posted import nothing, without
from tests.api.test_promises import laid_out
from tests.book import MANAGER, doing
from tests.served import WEEK, Kitchen
from tests.shelves import FRIDAY, fresh_shelf

AUGUST = load("august")
NOW = doing(MANAGER)
TUESDAY, WEDNESDAY, THURSDAY = (AUGUST.week.monday + timedelta(days=each) for each in (1, 2, 3))
TURNS = f"/api/v1/turns?week={WEEK}"
ENDED = "process letter ended Wednesday 19 August"


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    """Every card's letter ends on the Wednesday, and every grower's papers are in date."""
    with fresh_shelf(tmp_path) as shelf, shelf.writing() as found:
        take_in(found, NOW, AUGUST)
        for each in found.papers.where():
            found.papers.replace(replace(each, until=date(2027, 3, 31)))
        for card in AUGUST.cards:
            card_approved(found, NOW, card.id, letter="renewal due", until=WEDNESDAY)
        yield found


def last_days(done: Posted) -> dict[str, date]:
    """The last day on which the grower of each note is expected."""
    zone, found = AUGUST.kitchen.zone, dict[str, date]()
    for turn in done.turns:
        day = turn.start.astimezone(zone).date()
        found[turn.note_id] = max(day, found.get(turn.note_id, day))
    return found


def test_a_letter_that_ends_on_wednesday_lets_tuesday_be_firm_and_not_thursday(
    book: Book, plan: Plan
):
    done = post(book, NOW, laid_out(book, plan))
    days = last_days(done)
    firm = {turn.note_id for turn in done.turns if turn.state == "firm"}
    assert firm == {note_id for note_id, day in days.items() if day <= WEDNESDAY}
    on = {state: {day for note_id, day in days.items() if (note_id in firm) == state}
          for state in (True, False)}  # fmt: skip
    assert on[True] & {TUESDAY, WEDNESDAY}
    assert THURSDAY in on[False]
    assert {turn.state for turn in done.turns if turn.note_id not in firm} == {"pencilled"}


def test_the_list_of_notes_the_day_sheet_and_the_answer_say_the_same(book: Book, plan: Plan):
    number = laid_out(book, plan)
    days = last_days(post(book, NOW, number))
    kept = book.plans.find(number)
    assert kept is not None
    sheets = {day: day_sheet(kept.asked, kept.plan, day) for day in AUGUST.days}
    for note_id, last in days.items():
        expected = (ENDED,) if last > WEDNESDAY else ()
        (seen,) = as_seen(book, NOW, (note(book, NOW, note_id),))
        assert seen.papers_short == expected
        told = {each.missing for sheet in sheets.values() for each in sheet.papers_short
                if each.lot.code == note_id}  # fmt: skip
        assert told == ({expected} if expected else set())


def test_an_answer_looks_at_each_day_of_its_turns(book: Book):
    asked = asked_of(book, AUGUST.week, now=FRIDAY)
    zone, told = AUGUST.kitchen.zone, set[bool]()
    for each in asked.notes:
        alone = without(replace(asked, notes=(each,)), each.id)
        found = answered(alone, nothing(alone), each)
        assert isinstance(found, Answer)
        late = max(turn.span.start.astimezone(zone).date() for turn in found.turns) > WEDNESDAY
        assert found.papers_short == ((ENDED,) if late else ())
        assert found.may_be_firm == (not late)
        told.add(late)
    assert told == {True, False}


def test_the_letter_seen_last_counts(book: Book):
    card_approved(book, NOW, "tomato", letter="without end", until=None)
    tomato = next(
        each for each in asked_of(book, AUGUST.week, now=FRIDAY).cards if each.id == "tomato"
    )
    assert tomato.letter_holds(date(2099, 1, 1))
    card_approved(book, NOW, "tomato", letter="that was a mistake", until=TUESDAY)
    tomato = next(
        each for each in asked_of(book, AUGUST.week, now=FRIDAY).cards if each.id == "tomato"
    )
    assert (tomato.letter_holds(TUESDAY), tomato.letter_holds(WEDNESDAY)) == (True, False)


def test_papers_of_grower_and_card_are_told_once_over_all_days():
    grower, card = AUGUST.grower("G04"), replace(AUGUST.card("bean"), approved_until=WEDNESDAY)
    friday = THURSDAY + timedelta(days=1)
    assert papers_short(grower, card, (TUESDAY, WEDNESDAY)) == ()
    assert papers_short(grower, card, (THURSDAY,)) == (ENDED,)
    assert papers_short(grower, card, (friday, THURSDAY, WEDNESDAY)) == (
        ENDED,
        "liability insurance ended Thursday 20 August",
    )
    assert papers_short(grower, replace(card, approved=False), (TUESDAY,)) == (
        "process letter pending",
    )


def test_cards_tell_whether_their_letter_holds_today(kitchen: Kitchen):
    manager = kitchen.by["manager"]

    def approved() -> bool:
        (tomato,) = [
            each for each in manager.get("/api/v1/process-cards").json() if each["id"] == "tomato"
        ]
        return bool(tomato["approved"])

    assert approved()
    letter = {"letter": "letter of 3 March", "until": "2026-08-14"}
    assert manager.post("/api/v1/papers/cards/tomato", letter).status_code == 201
    assert approved()
    kitchen.now[0] = FRIDAY + timedelta(hours=6)  # Saturday in UTC, Friday by the kitchen's clock
    assert approved()
    kitchen.now[0] = FRIDAY + timedelta(days=1)
    assert not approved()


def test_a_helper_without_orientation_keeps_the_note_from_being_firm(kitchen: Kitchen):
    manager, path = kitchen.by["manager"], "/api/v1/papers/growers/G01"
    paper = {"kind": "food handler certificate", "until": "2027-03-31", "helper": "Jory Quill"}
    assert manager.ask("PUT", path, json=paper).status_code == 200
    note = manager.get("/api/v1/notes/R02").json()
    assert note["papers_short"] == ["orientation of Jory Quill missing"]
    (hers,) = [each for each in manager.get("/api/v1/papers").json() if each["grower_id"] == "G01"]
    assert not hers["in_order"]
    manager.ask("PUT", path, json={**paper, "kind": "orientation"})
    assert manager.get("/api/v1/notes/R02").json()["state"] == "in order"


def test_papers_that_end_are_answered_with_the_notes_and_turns_they_touch(
    kitchen: Kitchen, plan: Plan
):
    manager = kitchen.by["manager"]
    number = kitchen.laid_out(plan)
    assert manager.post(f"/api/v1/weeks/{WEEK}/post", {"plan": number}).status_code == 200
    every = manager.get(TURNS).json()
    hers = [each for each in every if each["grower_id"] == every[0]["grower_id"]]
    path = f"/api/v1/papers/growers/{hers[0]['grower_id']}"
    paper = {"kind": "liability insurance", "until": "2027-08-20"}
    assert manager.ask("PUT", path, json=paper).json()["touched"] == []
    ended = manager.ask("PUT", path, json=paper | {"until": "2026-08-16"}).json()["touched"]
    short = ["liability insurance ended Sunday 16 August"]
    assert [each["papers_short"] for each in ended] == [short] * len(ended)
    assert [turn for each in ended for turn in each["turns"]] == hers
    assert manager.get(TURNS).json() == every


def test_a_token_for_papers_alone_is_told_of_no_notes(kitchen: Kitchen):
    with kitchen.shelf.writing() as book:
        only = doing(MANAGER)
        only = replace(only, acts=(str(Act.KEEP_PAPERS),))
        paper = KeptPaper("G04", "", "liability insurance", date(2026, 8, 17), "", FRIDAY)
        assert paper_seen(book, only, paper).until == date(2026, 8, 17)
        assert touched_by(book, NOW, "G04")
        assert touched_by(book, only, "G04") == ()
