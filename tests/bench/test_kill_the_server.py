"""The server is killed in the middle of its work, and the book holds what it acknowledged."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from api.records.plans import From, KeptTurn
from api.services.asking import asked_of
from api.services.notes import Said, as_note, end, keep_note
from api.services.plans import keep
from api.services.ports import Book
from api.services.posting import post
from api.services.weeks import week_entry
from scheduler.domain.clock import Week
from scheduler.scenario import load
from scheduler.units import Grams
from tests.answer.posted import posted
from tests.api.lay_outs import taken_in
from tests.bench.afterwards import Found, read
from tests.bench.clients import Acknowledged, Heard
from tests.bench.kill_the_server import Size, kill_the_server
from tests.book import MANAGER, doing
from tests.shelves import FRIDAY, fresh_shelf

AUGUST = load("august")
NOW = doing(MANAGER)
NEXT = Week.of(AUGUST.week.monday + timedelta(days=7))
ARRIVES = AUGUST.notes[0].arrives + timedelta(days=7)


@pytest.mark.slow
def test_what_was_acknowledged_is_there_once_after_three_kills(tmp_path: Path):
    figures, found = kill_the_server(tmp_path, Size(clients=8, seconds=10, kills=3))
    assert found.breaches == ()
    assert figures["not_to_be_refused"] == 0
    assert figures["broken_requests"] >= figures["kills"] == 3
    assert min(figures["notes"], figures["let_go"], figures["posted"]) > 0


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    with fresh_shelf(tmp_path, taken_in("august")) as shelf, shelf.writing() as found:
        yield found


def noted(book: Book, remark: str) -> Acknowledged:
    said = Said("G01", "tomato", Grams(9_000), ARRIVES, remark=remark)
    entry = keep_note(book, NOW, as_note(book, NOW, said), answer=None)
    return Acknowledged(entry.id, NEXT, FRIDAY, remark)


def let_go(book: Book, told: Acknowledged) -> Acknowledged:
    entry = book.notes.last(id=told.what)
    assert entry is not None
    end(book, NOW, told.what, version=entry.version, state="let go")
    return told


def laid_out(book: Book) -> int:
    asked, entry = asked_of(book, NEXT, now=FRIDAY), week_entry(book, NEXT)
    origin = From(entry.notes_version, entry.posted, "lotte")
    return keep(book.plans, asked, posted(asked), laid_out_at=FRIDAY, origin=origin)


@pytest.fixture
def heard(book: Book) -> Heard:
    """Three notes, one let go before posting and one after it."""
    told = [noted(book, remark) for remark in ("first", "second", "third")]
    gone = [let_go(book, told[0])]
    number = laid_out(book)
    post(book, NOW, number)
    gone.append(let_go(book, told[1]))
    return Heard(told, gone, [Acknowledged(str(number), NEXT, FRIDAY)])


def found_in(book: Book, heard: Heard) -> Found:
    return read(book, [heard], [NEXT])


def test_a_sound_book_has_no_breach(book: Book, heard: Heard):
    assert found_in(book, heard).breaches == ()
    assert found_in(book, heard).answered_again == 0


def test_what_is_not_there_is_lost(book: Book, heard: Heard):
    heard.noted.append(Acknowledged("N99", NEXT, FRIDAY, "fourth"))
    found = found_in(book, heard)
    assert "note fourth is not there" in found.lost
    assert "note N99: 0 deeds, 1 told" in found.trail


def test_a_let_go_that_does_not_hold_is_lost(book: Book, heard: Heard):
    heard.let_go.append(heard.noted[2])
    assert len(found_in(book, heard).lost) == 1


def test_what_is_there_twice_is_repeated(book: Book, heard: Heard):
    noted(book, "third")
    found = found_in(book, heard)
    assert found.repeated == ("note third is there more often than told",)
    assert len(found.trail) == 2  # the week's version, and a deed that nobody was told of


def other_time(book: Book, heard: Heard) -> None:
    turn = book.turns.where(note_id=heard.noted[2].what)[0]
    book.turns.replace(replace(turn, start=turn.start - timedelta(hours=1)))


def stands_after_all(book: Book, heard: Heard) -> None:
    turn: KeptTurn = book.turns.where(note_id=heard.noted[1].what)[0]
    book.turns.replace(replace(turn, state="firm"))


def two_stand(book: Book, heard: Heard) -> None:
    book.plans.set_state(laid_out(book), "posted")


@pytest.mark.parametrize("spoil", [other_time, stands_after_all, two_stand])
def test_a_promise_beside_the_posted_plan_is_a_double_one(
    book: Book, heard: Heard, spoil: Callable[[Book, Heard], None]
):
    spoil(book, heard)
    assert found_in(book, heard).double_promises
