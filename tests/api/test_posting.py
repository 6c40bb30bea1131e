"""A plan is posted whole or not at all, and everybody hears of it once."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from api.records.house import KeptPaper
from api.records.plans import From
from api.services.asking import asked_of
from api.services.errors import ChangedMeanwhile, NotAllowed, NotNow
from api.services.messages import MOST_CHARACTERS, mark_sent, messages
from api.services.notes import Said, as_note, carry_over, change, end, keep_note, note
from api.services.outages import down
from api.services.papers import paper_seen
from api.services.plans import keep
from api.services.ports import Book
from api.services.posting import OnPurpose, post
from api.services.turns import turns
from api.services.weeks import week_entry
from api.store import DatabaseShelf
from scheduler.domain.plan import Plan
from scheduler.errors import NoSuchPlan
from scheduler.scenario import load
from scheduler.units import Grams
from scheduler.verify import verify
from tests.answer.posted import posted
from tests.api.lay_outs import taken_in
from tests.book import GROWER, HAND, MANAGER, doing
from tests.shelves import FRIDAY, fresh_shelf

AUGUST = load("august")
WEEK = AUGUST.week
NOW, LATER = doing(MANAGER), doing(MANAGER, FRIDAY + timedelta(hours=1))


@pytest.fixture(scope="module")
def plan() -> Plan:
    """Made by hand, faultless, under the full rules."""
    made = posted(AUGUST)
    assert verify(AUGUST, made) == ()
    return made


@pytest.fixture
def shelf(tmp_path: Path) -> Iterator[DatabaseShelf]:
    with fresh_shelf(tmp_path, taken_in("august")) as found:
        yield found


@pytest.fixture
def book(shelf: DatabaseShelf) -> Iterator[Book]:
    with shelf.writing() as found:
        yield found


def laid_out(book: Book, plan: Plan) -> int:
    asked = asked_of(book, WEEK, now=FRIDAY)
    origin = From(week_entry(book, WEEK).notes_version, week_entry(book, WEEK).posted, "lotte")
    return keep(book.plans, asked, plan, laid_out_at=FRIDAY, origin=origin)


def placed(plan: Plan) -> set[str]:
    return {charge.note_id for _, charge in plan.charges()}


def test_posting_makes_the_week_firm(book: Book, plan: Plan):
    number = laid_out(book, plan)
    done = post(book, NOW, number)
    assert week_entry(book, WEEK).posted == number
    assert done.kept.state == "posted"
    firm = {each.id for each in book.notes.where(week=WEEK, state="firm")}
    pencilled = {each.id for each in book.notes.where(week=WEEK, state="pencilled")}
    assert firm | pencilled == placed(plan)
    assert pencilled, "some papers of the scenario are short"
    assert {turn.note_id for turn in done.turns if turn.state == "firm"} == firm
    assert {turn.note_id for turn in done.turns if turn.state == "pencilled"} == pencilled


def test_every_grower_concerned_hears_once_in_one_text(book: Book, plan: Plan):
    post(book, NOW, laid_out(book, plan))
    out = messages(book, NOW, unsent=True, after=None, limit=100)
    concerned = {AUGUST.note(each).grower_id for each in placed(plan)}
    assert sorted(concerned) == [each.grower_id for each in out if each.grower_id in concerned]
    assert max(len(each.text) for each in out) <= MOST_CHARACTERS
    assert all(each.text.startswith("Corrowell Drying Kitchen, week 2026-W34:") for each in out)
    sent = mark_sent(book, NOW, out[0].number)
    assert mark_sent(book, LATER, out[0].number) == sent
    assert out[0].number not in {
        each.number for each in messages(book, NOW, unsent=True, after=None, limit=100)
    }


def test_the_same_plan_again_is_refused(book: Book, plan: Plan):
    number = laid_out(book, plan)
    post(book, NOW, number)
    with pytest.raises(NotNow, match="is posted"):
        post(book, NOW, number)


def test_a_plan_from_before_another_was_posted_is_refused(book: Book, plan: Plan):
    first, second = laid_out(book, plan), laid_out(book, plan)
    post(book, NOW, first)
    with pytest.raises(ChangedMeanwhile) as refused:
        post(book, NOW, second)
    assert refused.value.changes == (f"plan {first} was posted",)
    assert week_entry(book, WEEK).posted == first


def let_go(book: Book, note_id: str) -> None:
    end(book, NOW, note_id, version=note(book, NOW, note_id).version, state="let go")


def heavier(book: Book) -> None:
    change(book, NOW, "R02", version=1, to={"field_g": Grams(1_000)})


def one_more(book: Book) -> None:
    said = Said("G01", "tomato", Grams(9_000), AUGUST.notes[0].arrives)
    keep_note(book, NOW, as_note(book, NOW, said), answer=None)


def paper(book: Book) -> None:
    until = WEEK.monday
    paper_seen(book, NOW, KeptPaper("G01", "", "liability insurance", until, "", FRIDAY))


@pytest.mark.parametrize(
    ("act", "told"),
    [
        (lambda book: let_go(book, "R02"), "note R02 went"),
        (heavier, "note R02 changed"),
        (one_more, "note G01-1 came"),
        (paper, "the growers or their papers changed"),
        (lambda book: down(book, NOW, "D1", stopped=AUGUST.notes[0].arrives), "stations stopped"),
    ],
)
def test_what_changed_since_it_was_laid_out_is_told(book: Book, plan: Plan, act: Any, told: str):
    number = laid_out(book, plan)
    act(book)
    with pytest.raises(ChangedMeanwhile, match=told):
        post(book, NOW, number)
    assert week_entry(book, WEEK).posted is None
    assert turns(book, NOW) == ()
    assert messages(book, NOW, unsent=False, after=None, limit=9) == ()


def test_what_is_not_there_or_not_faultless_is_not_posted(book: Book, plan: Plan):
    with pytest.raises(NoSuchPlan):
        post(book, NOW, 99)
    with pytest.raises(NotAllowed):
        post(book, doing(HAND), 99)
    with pytest.raises(NotNow, match="simple rules"):
        post(book, NOW, laid_out(book, replace(plan, rules="simple")))
    with pytest.raises(NotNow, match="breaks rule"):
        post(book, NOW, laid_out(book, replace(plan, duties=())))


def test_another_posting_moves_what_moved_and_tells_only_those(book: Book, plan: Plan):
    post(book, NOW, laid_out(book, plan))
    before = {turn.uid: turn for turn in turns(book, NOW)}
    heard = len(messages(book, NOW, unsent=False, after=None, limit=100))
    gone = sorted(placed(plan))[0]
    let_go(book, gone)
    asked = asked_of(book, WEEK, now=FRIDAY)
    fewer = posted(asked)
    done = post(book, LATER, laid_out(book, fewer), purpose=OnPurpose(moving=True))
    after = {turn.uid: turn for turn in turns(book, NOW)}
    for uid, turn in before.items():
        kept = after[uid]
        assert kept.sequence == turn.sequence + int(kept != turn)
        if turn.note_id == gone:
            assert kept.state == "let go"
    told = messages(book, NOW, unsent=False, after=None, limit=200)[heard:]
    waiting = {asked.note(each.note_id).grower_id for each in fewer.waiting}
    assert {each.grower_id for each in told} == {turn.whose for turn in done.turns} | waiting


def test_a_note_that_ends_takes_its_turns_with_it(book: Book, plan: Plan):
    post(book, NOW, laid_out(book, plan))
    own = next(turn for turn in turns(book, NOW) if turn.whose == "G01")
    before = note(book, NOW, own.note_id)
    end(book, doing(GROWER), own.note_id, version=before.version, state="let go")
    ended = [turn for turn in turns(book, NOW) if turn.note_id == own.note_id]
    assert {turn.state for turn in ended} == {"let go"}
    assert {turn.sequence for turn in ended} == {1}
    with pytest.raises(NotNow):
        end(book, NOW, own.note_id, version=before.version + 1, state="let go")


def test_a_note_carried_over_begins_anew(book: Book):
    found = note(book, NOW, "R02")
    arrives = found.arrives + timedelta(days=7)
    anew = carry_over(book, NOW, "R02", version=1, arrives=arrives)
    assert (anew.week.number, anew.state, anew.field_g) == (35, "noted", found.field_g)
    assert anew.latest_start - anew.arrives == found.latest_start - found.arrives
    assert note(book, NOW, "R02").state == "carried over"
    with pytest.raises(NotNow, match="later week"):
        carry_over(book, NOW, anew.id, version=1, arrives=found.arrives)
