"""Every kind of page of the book comes back as it was written, on both databases."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, time
from pathlib import Path
from threading import Thread
from typing import Any

import pytest

from api.records.happened import Happening, OutageEntry
from api.records.house import (
    Approval,
    CardEntry,
    GrowerEntry,
    Helper,
    KeptPaper,
    KitchenSettings,
)
from api.records.notes import Lot, NoteEntry, StandingLot, note_fields
from api.records.people import OwnSettings, Person, Token
from api.records.plans import KeptTurn, WeekEntry
from api.records.told import AnsweredOnce, Deed, Message
from api.records.wishes import WishEntry
from api.services.ports import Book
from api.store import DatabaseShelf
from scheduler.domain.clock import Week
from scheduler.scenario import load
from scheduler.turns import turns_of
from scheduler.units import Grams
from tests.shelves import FRIDAY, fresh_shelf, put
from tests.worked_day import worked_day

AUGUST, DOWN = load("august"), load("dryer_down")
WEEK, STARTED = AUGUST.week, DOWN.happened.runs[0]
TURN = replace(
    turns_of(AUGUST, worked_day(AUGUST), at=FRIDAY)[0],
    note_id="R01",
    whose=AUGUST.note("R01").grower_id,
)


@pytest.fixture
def shelf(tmp_path: Path) -> Iterator[DatabaseShelf]:
    with fresh_shelf(tmp_path) as found:
        yield found


def note_entry() -> NoteEntry:
    return NoteEntry(
        **note_fields(AUGUST.notes[0]),
        called=1,
        week=WEEK,
        state="noted",
        noted_at=FRIDAY,
        noted_by="lotte",
        answer={"racks": 21, "lines": [{"amount": 1}]},
    )


def pages(plan: int) -> list[tuple[str, Any]]:
    """One of each, in the order in which they refer to each other."""
    onion = AUGUST.notes[0]
    grower = AUGUST.grower(onion.grower_id)
    return [
        ("settings", KitchenSettings(AUGUST.kitchen, FRIDAY, "lotte", number=7)),
        ("growers", GrowerEntry(grower.id, replace(grower, papers=()))),
        ("helpers", Helper(grower.id, "Jory Quill", FRIDAY, number=3)),
        ("papers", KeptPaper(grower.id, "", "insurance", date(2027, 3, 31), "lotte", FRIDAY, 4)),
        ("papers", KeptPaper(grower.id, "", "orientation", None, "lotte", FRIDAY, 5)),
        ("cards", CardEntry("onion", AUGUST.card("onion"))),
        ("approvals", Approval("onion", "letter 12", None, "lotte", FRIDAY, 2)),
        ("people", Person("lotte", "Lotte Amberry", "manager", None, "hash", FRIDAY)),
        ("own_settings", OwnSettings("lotte", "es", "lb", "")),
        ("tokens", Token("t1", "api", "lotte", "h", ("note",), "", "shed", FRIDAY, None)),
        ("notes", note_entry()),
        (
            "standing_lots",
            StandingLot(
                grower.id, "onion", Grams(9_000), 0, time(8), True, False, "", WEEK, None, number=1
            ),
        ),
        ("lots", Lot("26-229-G02-ONI", onion.id, grower.id, WEEK, Grams(5), FRIDAY, "raw")),
        ("weeks", WeekEntry(WEEK, 3, plan)),
        ("turns", KeptTurn.of(WEEK, TURN)),
        ("happenings", Happening("run started", FRIDAY, "l", WEEK, "D1", {}, STARTED, 1)),
        ("outages", OutageEntry("D3", FRIDAY, None, "fan", "lotte", number=1)),
        ("wishes", WishEntry(WEEK, "pin", onion.id, "D1", FRIDAY, None, "lotte", FRIDAY, number=1)),
        ("messages", Message(grower.id, "Bring it Monday", plan, FRIDAY, overtaken_by=2, number=1)),
        ("deeds", Deed(FRIDAY, "lotte", "note", onion.id, {"field_g": 5}, number=1)),
        ("answered_once", AnsweredOnce("lotte", "k", "f", 201, {"ETag": '"1"'}, {"a": 1}, FRIDAY)),
    ]  # fmt: skip


def key_of(page: Any) -> tuple[object, ...]:
    if isinstance(page, AnsweredOnce):
        return (page.person_id, page.key)
    names = (
        ("number", "uid", "code", "id", "person_id")
        if not isinstance(page, WeekEntry)
        else ("week",)
    )
    return (next(getattr(page, name) for name in names if hasattr(page, name)),)


def test_every_page_comes_back_as_it_was_written(shelf: DatabaseShelf):
    plan = put(shelf, AUGUST, worked_day(AUGUST))
    with shelf.writing() as book:
        for name, page in pages(plan):
            assert getattr(book, name).add(page) == page
    with shelf.reading() as book:
        for name, page in pages(plan):
            assert getattr(book, name).find(*key_of(page)) == page
            assert page in getattr(book, name).where()


def test_a_number_is_given_where_there_is_none(shelf: DatabaseShelf):
    with shelf.writing() as book:
        first = book.outages.add(OutageEntry("D1", FRIDAY, None, "", "lotte"))
        second = book.outages.add(OutageEntry("D2", FRIDAY, None, "", "lotte"))
    assert 0 < first.number < second.number


def with_notes(book: Book, *ids: str) -> None:
    onion = AUGUST.notes[0]
    book.growers.add(GrowerEntry(onion.grower_id, AUGUST.grower(onion.grower_id)))
    book.cards.add(CardEntry("onion", AUGUST.card("onion")))
    for called, note_id in enumerate(ids, 1):
        book.notes.add(replace(note_entry(), id=note_id, called=called))


def test_pages_are_found_in_order_and_by_what_they_say(shelf: DatabaseShelf):
    with shelf.writing() as book:
        with_notes(book, "Z", "M", "A")
        book.notes.replace(replace(note_entry(), id="M", called=2, state="let go", version=2))
    with shelf.reading() as book:
        assert [each.id for each in book.notes.where(week=WEEK)] == ["Z", "M", "A"]
        assert [each.id for each in book.notes.where(state=("noted", "firm"))] == ["Z", "A"]
        assert [each.id for each in book.notes.where(after=1, limit=1)] == ["M"]
        assert book.notes.where(week=Week(2026, 35)) == ()
        newest = book.notes.last()
    assert newest is not None
    assert newest.called == 3


def test_a_secret_is_made_once(shelf: DatabaseShelf):
    with shelf.writing() as book:
        first = book.secret("cookies", lambda: "one")
    with shelf.writing() as book:
        assert book.secret("cookies", lambda: "another") == first == "one"


def test_what_was_read_while_writing_is_still_so_when_kept(shelf: DatabaseShelf):
    """Eight writers count on from what they read: none of them counts the same number."""

    def count_on() -> None:
        for _ in range(5):
            with shelf.writing() as book:
                found = book.weeks.find(WEEK) or book.weeks.add(WeekEntry(WEEK))
                book.weeks.replace(replace(found, notes_version=found.notes_version + 1))

    writers = [Thread(target=count_on) for _ in range(8)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    with shelf.reading() as book:
        found = book.weeks.find(WEEK)
    assert found is not None
    assert found.notes_version == 40


def test_instants_come_back_in_utc(shelf: DatabaseShelf):
    with shelf.writing() as book:
        book.outages.add(OutageEntry("D1", datetime(2026, 8, 14, tzinfo=UTC), None, "", "lotte"))
    with shelf.reading() as book:
        assert book.outages.where()[0].stopped.tzinfo is UTC
