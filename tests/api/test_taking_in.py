"""A scenario taken into the book is asked about in the very same words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from api.services.asking import asked_of, changes
from api.services.errors import NotNow
from api.services.taking_in import take_in
from api.services.weeks import week_entry
from api.store import DatabaseShelf
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.errors import BadInput
from scheduler.scenario import bundled, load
from scheduler.units import Grams
from tests.book import MANAGER, doing
from tests.shelves import FRIDAY, fresh_shelf


@pytest.fixture
def shelf(tmp_path: Path) -> Iterator[DatabaseShelf]:
    with fresh_shelf(tmp_path) as found:
        yield found


def taken_in(shelf: DatabaseShelf, asked: Asked, *, now: datetime = FRIDAY) -> Asked:
    with shelf.writing() as book:
        take_in(book, doing(MANAGER), asked)
    with shelf.reading() as book:
        return asked_of(book, asked.week, now=now)


@pytest.mark.parametrize("name", bundled())
def test_a_week_comes_out_as_it_was_taken_in(shelf: DatabaseShelf, name: str):
    given = load(name)
    now = given.happened.now or FRIDAY.replace(year=2025)
    out = taken_in(shelf, given, now=now)
    given = replace(
        given,
        cards=tuple(sorted(given.cards, key=lambda each: each.id)),
        growers=tuple(sorted(given.growers, key=lambda each: each.id)),
    )
    assert replace(out, name=given.name, title=given.title) == given
    assert changes(given, out) == ()


def test_an_empty_book_says_what_to_do(shelf: DatabaseShelf):
    with shelf.reading() as book, pytest.raises(NotNow, match="take-in"):
        asked_of(book, Week(2026, 34), now=FRIDAY)


def test_a_note_is_not_taken_in_twice_and_nothing_of_the_rest_either(shelf: DatabaseShelf):
    august = load("august")
    taken_in(shelf, august)
    with pytest.raises(BadInput) as refused, shelf.writing() as book:
        take_in(book, doing(MANAGER), august)
    assert len(refused.value.faults) == len(august.notes)
    with shelf.reading() as book:
        assert len(book.settings.where()) == 1
        assert week_entry(book, august.week).notes_version == 1


def test_what_changed_is_told_note_by_note(shelf: DatabaseShelf):
    given = load("august")
    first, second, third, *rest = given.notes
    later = replace(
        given,
        notes=(replace(second, field_g=Grams(1)), third, replace(first, id="N1"), *rest),
        growers=given.growers[1:],
    )
    assert changes(given, later) == (
        "the growers or their papers changed",
        "note N1 came",
        f"note {first.id} went",
        f"note {second.id} changed",
    )


def test_now_counts_once_the_week_has_begun(shelf: DatabaseShelf):
    tuesday = datetime(2026, 8, 18, 12, tzinfo=UTC)
    assert taken_in(shelf, load("august"), now=tuesday).happened.now == tuesday
