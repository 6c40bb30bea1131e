"""An act that changes what a grower was told writes one text, which overtakes unsent ones."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from api.records.notes import NoteEntry
from api.records.people import Person
from api.records.told import Message
from api.services.asking import asked_of
from api.services.errors import NotNow, OldVersion
from api.services.messages import MOST_CHARACTERS, mark_sent, mark_unsent, messages
from api.services.notes import carry_over, end
from api.services.ports import Book
from api.services.posting import OnPurpose, post
from api.services.taking_in import take_in
from api.store import DatabaseShelf
from scheduler.domain.plan import Plan
from scheduler.scenario import load
from tests.api.test_promises import laid_out, without
from tests.book import GROWER, MANAGER, doing
from tests.served import WEEK as IN_WORDS
from tests.served import Kitchen
from tests.shelves import FRIDAY, fresh_shelf

AUGUST = load("august")
WEEK = AUGUST.week
NOW = doing(MANAGER)
HEAD = "Corrowell Drying Kitchen, week 2026-W34: "


@pytest.fixture
def shelf(tmp_path: Path) -> Iterator[DatabaseShelf]:
    with fresh_shelf(tmp_path) as found:
        yield found


@pytest.fixture
def book(shelf: DatabaseShelf, plan: Plan) -> Iterator[Book]:
    """The week is posted, and nobody has sent a text yet."""
    with shelf.writing() as found:
        take_in(found, NOW, AUGUST)
        post(found, NOW, laid_out(found, plan))
        yield found


def firm_of(book: Book, grower_id: str = "G01") -> NoteEntry:
    return next(each for each in book.notes.where(grower_id=grower_id, state="firm"))


def texts(book: Book, grower_id: str, *, unsent: bool = True) -> list[Message]:
    found = messages(book, NOW, unsent=unsent, after=None, limit=None)
    return [each for each in found if each.grower_id == grower_id]


def send_all(book: Book) -> None:
    for each in messages(book, NOW, unsent=True, after=None, limit=None):
        mark_sent(book, NOW, each.number)


def ended(book: Book, found: NoteEntry, state: str, by: Person = MANAGER) -> list[Message]:
    """The note ends; what is then to be sent to its grower."""
    end(book, doing(by), found.id, version=found.version, state=state)  # type: ignore[arg-type]
    return texts(book, found.grower_id)


@pytest.mark.parametrize(
    ("state", "by", "said"),
    [
        ("stood down", MANAGER, "stood down by the kitchen, no longer expected."),
        ("no-show", MANAGER, "did not come, no longer expected."),
        ("let go", MANAGER, "let go, no longer expected."),
        ("let go", GROWER, "let go, as you asked."),
    ],
)
def test_a_firm_note_that_ends_is_told_in_one_short_text(
    book: Book, state: str, by: Person, said: str
):
    send_all(book)
    found = firm_of(book)
    (told,) = ended(book, found, state, by)
    card = AUGUST.card(found.card_id).name
    assert told.text.startswith(f"{HEAD}{found.id} {card} ")
    assert told.text.endswith(f" kg: {said}")
    assert {
        each.grower_id for each in messages(book, NOW, unsent=True, after=None, limit=None)
    } == {"G01"}
    assert {each.overtaken_by for each in texts(book, "G01", unsent=False)} == {None}


def test_a_note_carried_over_tells_where_to(book: Book):
    send_all(book)
    found = firm_of(book)
    arrives = found.arrives + timedelta(days=7)
    anew = carry_over(book, NOW, found.id, version=found.version, arrives=arrives)
    (told,) = texts(book, "G01")
    assert f"carried over to week 2026-W35 as {anew.id}, " in told.text
    assert told.text.endswith("not promised yet; no longer expected this week.")


def test_an_unsent_text_is_overtaken_and_nothing_it_said_is_lost(book: Book):
    grower_id = next(grower.id for grower in AUGUST.growers if len(hers(book, grower.id)) > 1)
    first, *others = hers(book, grower_id)
    (before,) = texts(book, grower_id)
    (told,) = ended(book, first, "stood down")
    older, newer = texts(book, grower_id, unsent=False)
    assert (older.number, older.overtaken_by) == (before.number, told.number)
    assert (newer, newer.overtaken_by) == (told, None)
    for each in others:
        assert each.id in told.text
        assert line_of(told.text, each.id) == line_of(before.text, each.id)
    (again,) = ended(book, others[0], "stood down")
    assert again.text.count("stood down by the kitchen") == 2
    assert max(len(each.text) for each in texts(book, grower_id, unsent=False)) <= MOST_CHARACTERS


def hers(book: Book, grower_id: str) -> list[NoteEntry]:
    return list(book.notes.where(grower_id=grower_id, state=("firm", "pencilled")))


def line_of(text: str, note_id: str) -> str:
    """From the note's name to the end of its sentence."""
    return text[text.index(note_id) :].partition(". ")[0].rstrip(".")


def test_other_growers_texts_are_not_overtaken(book: Book):
    before = {each.number for each in book.messages.where() if each.grower_id != "G01"}
    ended(book, firm_of(book), "stood down")
    assert {each.number for each in book.messages.where(overtaken_by=None)} > before


def test_what_was_sent_is_never_overtaken(book: Book):
    (first,) = texts(book, "G01")
    sent = mark_sent(book, NOW, first.number)
    ended(book, firm_of(book), "stood down")
    assert book.messages.find(first.number) == sent


def test_what_went_out_just_before_it_was_overtaken_is_written_down(book: Book):
    (first,) = texts(book, "G01")
    (newer,) = ended(book, firm_of(book), "stood down")
    sent = mark_sent(book, NOW, first.number)
    assert (sent.sent_at, sent.overtaken_by) == (FRIDAY, newer.number)


def test_of_a_note_that_no_posted_plan_has_told_of_nothing_is_said(shelf: DatabaseShelf):
    with shelf.writing() as book:
        take_in(book, NOW, AUGUST)
        end(book, NOW, "R02", version=1, state="stood down")
        assert book.messages.where() == ()


def test_another_posting_overtakes_what_it_says_anew(book: Book, plan: Plan):
    found = firm_of(book)
    again = laid_out(book, without_asked(book, found.id))
    done = post(book, NOW, again, purpose=OnPurpose(moving=True))
    for each in done.messages:
        (newest,) = texts(book, each.grower_id)
        assert newest == each
        (older,) = [old for old in texts(book, each.grower_id, unsent=False) if old != each]
        assert older.overtaken_by == each.number


def without_asked(book: Book, note_id: str) -> Plan:
    return without(asked_of(book, WEEK, now=FRIDAY), note_id)


def test_the_outbox_shows_what_was_overtaken_but_does_not_offer_it(kitchen: Kitchen, plan: Plan):
    manager = kitchen.by["manager"]
    manager.post(f"/api/v1/weeks/{IN_WORDS}/post", {"plan": kitchen.laid_out(plan)})
    path = "/api/v1/notes/R02"
    seen = {"If-Match": manager.get(path).headers["etag"]}
    manager.post(f"{path}/end", {"state": "stood down"}, headers=seen)
    offered = manager.get("/api/v1/messages", params={"limit": 200}).json()["items"]
    (newer,) = [each for each in offered if each["grower_id"] == "G01"]
    assert "R02 tomato 120 kg: stood down by the kitchen" in newer["text"]
    shown = manager.get("/api/v1/messages", params={"unsent": False, "limit": 200}).json()["items"]
    older, again = [each for each in shown if each["grower_id"] == "G01"]
    assert (older["overtaken_by"], older["sent_at"]) == (newer["number"], None)
    assert again == newer


def test_a_text_is_unsent_again_unless_a_later_one_stands_in_its_place(book: Book):
    found = firm_of(book)
    (first,) = texts(book, found.grower_id)
    marked = mark_sent(book, NOW, first.number).sent_at
    assert marked is not None
    with pytest.raises(OldVersion):
        mark_unsent(book, NOW, first.number, marked=FRIDAY.replace(year=2025).isoformat())
    assert mark_unsent(book, NOW, first.number, marked=marked.isoformat()) == first
    assert texts(book, found.grower_id) == [first]
    mark_sent(book, NOW, first.number)
    ended(book, found, "stood down")
    with pytest.raises(NotNow, match="a later text"):
        mark_unsent(book, NOW, first.number, marked=marked.isoformat())
