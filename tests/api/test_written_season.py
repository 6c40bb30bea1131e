"""An invented season in a book: every record comes back as it was written down."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

import pytest

from api.services.errors import NotAllowed, NotNow
from api.services.people import COMMAND_LINE
from api.services.roles import Doing
from api.services.season import season as season_of_book
from api.services.taking_in import take_in
from api.services.written_season import write_season
from api.store import DatabaseShelf
from scheduler.replay.season import invented_season
from scheduler.scenario import load
from scheduler.season.figures import figures
from scheduler.season.records import LotRecord, Season
from tests.book import HAND
from tests.shelves import fresh_shelf

WEEKS = 13  # April to June: in it lots are held, dried again and discarded, and some do not come


@pytest.fixture(scope="module")
def invented() -> Season:
    return invented_season(9, steps=0, weeks=WEEKS)


@pytest.fixture(scope="module")
def shelf(invented: Season, tmp_path_factory: pytest.TempPathFactory) -> Iterator[DatabaseShelf]:
    with fresh_shelf(tmp_path_factory.mktemp("season")) as found:
        with found.writing() as book:
            write_season(book, COMMAND_LINE, invented)
        yield found


@pytest.fixture(scope="module")
def read(invented: Season, shelf: DatabaseShelf) -> Season:
    later = Doing(COMMAND_LINE, invented.span.end + timedelta(days=30))
    with shelf.reading() as book:
        first, last = invented.weeks[0].week, invented.weeks[-1].week
        return season_of_book(book, later, first=first, last=last)


def test_the_season_has_all_that_can_happen(invented: Season):
    weeks = invented.weeks
    assert any(ran.again for week in weeks for ran in week.ran)
    assert any(lot.discarded_g for week in weeks for lot in week.lots)
    assert {gone.how for week in weeks for gone in week.gone} == {"let go", "no-show"}
    assert any(week.outages for week in weeks)


def test_weeks_are_posted_as_they_were_laid_out(invented: Season, read: Season):
    assert [each.plan.runs for each in read.weeks] == [each.plan.runs for each in invented.weeks]
    assert all(len(each.posted) == 1 for each in read.weeks)


def test_runs_are_on_record_as_they_went(invented: Season, read: Season):
    def told(season: Season) -> list[tuple[object, ...]]:
        return [
            (ran.run.dryer_id, ran.run.start, ran.run.end, ran.run.racks, ran.again)
            for week in season.weeks
            for ran in sorted(week.ran, key=lambda each: (each.run.start, each.run.dryer_id))
        ]

    assert told(read) == told(invented)
    assert all(ran.on_record for week in read.weeks for ran in week.ran)


def test_lots_are_weighed_checked_packed_and_handed_out(invented: Season, read: Season):
    def told(lot: LotRecord) -> tuple[object, ...]:
        checks = sorted((each.at, each.decision, each.water_activity) for each in lot.checks)
        went = [(each.to, each.bags) for each in lot.went_to]
        return lot.note_id, lot.came, lot.weighed_g, lot.bags, lot.packed, checks, went

    for was, is_ in zip(invented.weeks, read.weeks, strict=True):
        assert sorted(map(told, is_.lots)) == sorted(map(told, was.lots))
        assert {(gone.note_id, gone.how, gone.at) for gone in is_.gone} == {
            (gone.note_id, gone.how, gone.at) for gone in was.gone
        }


@pytest.mark.parametrize("key", ["rack_use", "kg_in", "again", "down", "on_record"])
def test_figures_of_the_book_are_those_of_the_season(invented: Season, read: Season, key: str):
    def figure(season: Season) -> tuple[int, int]:
        found = next(each for each in figures(season) if each.definition.key == key)
        return found.numerator, found.denominator

    assert figure(read) == figure(invented)


def test_into_a_book_with_a_kitchen_nothing_is_written(invented: Season, tmp_path_factory):
    with fresh_shelf(tmp_path_factory.mktemp("kitchen")) as found:
        with found.writing() as book:
            take_in(book, Doing(COMMAND_LINE, invented.span.start), load("spring_day"))
        with found.writing() as book, pytest.raises(NotNow, match="holds a kitchen already"):
            write_season(book, COMMAND_LINE, invented)
        with found.reading() as book:
            assert len(book.notes.where()) == len(load("spring_day").notes)


def test_it_is_for_who_keeps_the_house(invented: Season, tmp_path_factory):
    with (
        fresh_shelf(tmp_path_factory.mktemp("hand")) as found,
        found.writing() as book,
        pytest.raises(NotAllowed),
    ):
        write_season(book, HAND, invented)
