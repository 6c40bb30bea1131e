"""Rule 16 at posting: what the members voted is not passed, unless the manager says so."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from api.records.house import KitchenSettings
from api.records.plans import KeptTurn
from api.services.asking import asked_of
from api.services.errors import NotNow
from api.services.ports import Book
from api.services.posting import OnPurpose, Posted, post
from api.services.taking_in import take_in
from scheduler.domain.clock import Span, Week
from scheduler.domain.kitchen import VotedCaps
from scheduler.domain.plan import Plan
from scheduler.domain.turn import Turn
from scheduler.scenario import load
from scheduler.turns import turns_of
from tests.api.test_promises import laid_out
from tests.book import MANAGER, doing
from tests.served import WEEK as IN_WORDS
from tests.served import Kitchen
from tests.shelves import FRIDAY, fresh_shelf

AUGUST = load("august")
NOW = doing(MANAGER)
FREE = VotedCaps(turns_a_month=100, standing_percent=100)


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    with fresh_shelf(tmp_path) as shelf, shelf.writing() as found:
        take_in(found, NOW, AUGUST)
        yield found


def vote(book: Book, caps: VotedCaps) -> None:
    book.settings.add(KitchenSettings(replace(AUGUST.kitchen, caps=caps), FRIDAY, "lotte"))


def turn_days(turns: tuple[Turn, ...]) -> dict[str, set[tuple[str, date]]]:
    """Of each grower: the days on which she brings, and those on which she packs."""
    found: dict[str, set[tuple[str, date]]] = {}
    for turn in turns:
        day = turn.start.astimezone(AUGUST.kitchen.zone).date()
        if turn.state == "firm" and day.month == 8:
            found.setdefault(turn.whose, set()).add((turn.kind, day))
    return found


def busiest(done: Posted) -> tuple[str, int]:
    days = turn_days(done.turns)
    grower_id = max(days, key=lambda each: len(days[each]))
    return grower_id, len(days[grower_id])


@pytest.fixture(scope="module")
def most(tmp_path_factory: pytest.TempPathFactory, plan: Plan) -> tuple[str, int]:
    """Who has most firm turns in the plan, and how many."""
    with fresh_shelf(tmp_path_factory.mktemp("free")) as shelf, shelf.writing() as found:
        take_in(found, NOW, AUGUST)
        vote(found, FREE)
        return busiest(post(found, NOW, laid_out(found, plan)))


def test_as_many_turns_as_voted_are_firm(book: Book, plan: Plan, most: tuple[str, int]):
    vote(book, replace(FREE, turns_a_month=most[1]))
    assert busiest(post(book, NOW, laid_out(book, plan))) == most


def test_one_turn_more_is_refused_with_figures(book: Book, plan: Plan, most: tuple[str, int]):
    grower_id, turns = most
    vote(book, replace(FREE, turns_a_month=turns - 1))
    number = laid_out(book, plan)
    told = f"{grower_id} {turns} turns in August, at most {turns - 1} (rule 16)."
    with pytest.raises(NotNow) as refused:
        post(book, NOW, number)
    assert told in str(refused.value)
    assert book.turns.where() == ()
    post(book, NOW, number, purpose=OnPurpose(over_caps=True))
    (deed,) = book.deeds.where(act="post")
    assert told in deed.told["over_caps"]


def with_another(book: Book, plan: Plan, grower_id: str, weeks_before: int) -> None:
    """A firm bringing turn of that grower in an earlier week."""
    turn = next(
        each
        for each in turns_of(AUGUST, plan, at=FRIDAY)
        if (each.whose, each.kind) == (grower_id, "bringing")
    )
    start = turn.start - timedelta(weeks=weeks_before)
    other = replace(turn, uid="other", start=start, end=start, state="firm")
    book.turns.add(KeptTurn.of(Week.of(start.date()), other))


def test_turns_of_other_weeks_of_the_month_count(book: Book, plan: Plan, most: tuple[str, int]):
    grower_id, turns = most
    vote(book, replace(FREE, turns_a_month=turns))
    with_another(book, plan, grower_id, 1)
    with pytest.raises(NotNow, match=f"{grower_id} {turns + 1} turns in August, at most {turns} "):
        post(book, NOW, laid_out(book, plan))


def test_turns_of_another_month_do_not(book: Book, plan: Plan, most: tuple[str, int]):
    grower_id, turns = most
    vote(book, replace(FREE, turns_a_month=turns))
    with_another(book, plan, grower_id, 4)
    assert post(book, NOW, laid_out(book, plan)).turns


def test_what_was_promised_before_is_not_refused_again(
    book: Book, plan: Plan, most: tuple[str, int]
):
    post(book, NOW, laid_out(book, plan), purpose=OnPurpose(over_caps=True))
    vote(book, VotedCaps(turns_a_month=1, standing_percent=0))
    assert post(book, NOW, laid_out(book, plan)).turns == ()


def standing_share(book: Book, plan: Plan) -> float:
    """Reckoned again: rack-hours of firm standing lots over racks x Monday 07:00 to Saturday."""
    firm = {each.id for each in book.notes.where(state="firm") if each.standing}
    used = sum(
        charge.racks * (run.end - run.start).total_seconds()
        for run, charge in plan.charges()
        if charge.note_id in firm
    )
    staffed = AUGUST.kitchen.staffed_spans(AUGUST.week.days)
    whole = Span(staffed[0].start, max(each.end for each in staffed)).seconds
    return used / (whole * sum(dryer.racks for dryer in AUGUST.kitchen.dryers))


@pytest.mark.parametrize("more", [0, 1])
def test_the_share_of_standing_lots(book: Book, plan: Plan, more: int):
    for each in book.notes.where():
        book.notes.replace(replace(each, standing=True))
    vote(book, FREE)
    number = laid_out(book, plan)
    post(book, NOW, number)
    share = standing_share(book, plan)
    percent = int(100 * share)
    assert 1 < percent < 100 * share
    _start_again(book)
    vote(book, replace(FREE, standing_percent=percent + more))
    again = laid_out(book, plan)
    if more:
        post(book, NOW, again)
        return
    with pytest.raises(NotNow, match=rf"week's rack-hours, at most {percent} % \(rule 16\)"):
        post(book, NOW, again)
    post(book, NOW, again, purpose=OnPurpose(over_caps=True))


def _start_again(book: Book) -> None:
    """As if nothing had been posted."""
    for turn in book.turns.where():
        book.turns.replace(replace(turn, state="stood down"))


def test_over_http_it_is_said_on_purpose(kitchen: Kitchen, plan: Plan):
    with kitchen.shelf.writing() as book:
        vote(book, replace(FREE, turns_a_month=1))
        asked = asked_of(book, AUGUST.week, now=FRIDAY)
    assert asked.kitchen.caps.turns_a_month == 1
    manager, path = kitchen.by["manager"], f"/api/v1/weeks/{IN_WORDS}/post"
    number = kitchen.laid_out(plan)
    refused = manager.post(path, {"plan": number})
    assert (refused.status_code, "(rule 16)" in refused.json()["detail"]) == (409, True)
    assert manager.post(path, {"plan": number, "over_caps": True}).status_code == 200
    caps = manager.get("/api/v1/kitchen").json()["kitchen"]["caps"]
    assert caps == {"turns_a_month": 1, "standing_percent": 100}
