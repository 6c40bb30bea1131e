"""Posting: a plan becomes the promise of its week, whole or not at all."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from api.records.notes import NoteState
from api.records.plans import KeptPlan
from api.records.told import Message
from api.services.asking import asked_of, changes, with_begun
from api.services.at_the_door import posted_plan
from api.services.caps import must_be_within, over_caps
from api.services.deeds import keep_deed
from api.services.errors import ChangedMeanwhile, NotNow
from api.services.messages import discarded_since, tell
from api.services.notes import asking_notes
from api.services.plans import plan_numbered
from api.services.ports import Book
from api.services.promises import must_begin_later, must_keep, must_leave_neighbours
from api.services.roles import Act, Doing, must
from api.services.telling import text_of_posting
from api.services.turns import brought_up_to, keep_turns
from api.services.weeks import week_entry
from scheduler.answer.told import Telling
from scheduler.domain.clock import Week
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.rules import FULL
from scheduler.domain.turn import Turn
from scheduler.verify import verify


@dataclass(frozen=True, slots=True)
class Posted:
    """What posting did: the plan as it now stands, the turns that changed, the messages written."""

    kept: KeptPlan
    turns: tuple[Turn, ...]
    messages: tuple[Message, ...]


@dataclass(frozen=True, slots=True)
class OnPurpose:
    """What the manager says may be so all the same: firm turns moved, more firm than was voted."""

    moving: bool = False
    over_caps: bool = False


def post(
    book: Book,
    doing: Doing,
    number: int,
    *,
    week: Week | None = None,
    purpose: OnPurpose = OnPurpose(),
) -> Posted:
    """Make the plan firm and tell everyone.

    week: the one it is meant for, where the asker named it.
    NoSuchPlan; NotNow for a plan that is not pencilled, breaks a rule or a promise of its own week
    or a neighbour's, passes a cap, has begun, or is of another week; ChangedMeanwhile, with what
    changed, where it was laid out from other notes or beside another posted plan.
    """
    must(doing, Act.POST)
    return _posted(book, doing, number, week=week, purpose=purpose)


@dataclass(frozen=True, slots=True)
class OneLot:
    """A plan that differs from the posted one in one lot. grower_id: who alone hears of it.
    undecided: lots that weighed otherwise, and stay as promised until somebody decides on them."""

    grower_id: str
    undecided: frozenset[str] = frozenset()


def post_one_lot(book: Book, doing: Doing, number: int, *, one: OneLot) -> Posted:
    """Post such a plan; who may, has been asked. Refused as in post."""
    return _posted(book, doing, number, purpose=OnPurpose(), one=one)


def _posted(
    book: Book,
    doing: Doing,
    number: int,
    *,
    week: Week | None = None,
    purpose: OnPurpose,
    one: OneLot | None = None,
) -> Posted:
    kept = plan_numbered(book.plans, number)
    if week is not None and kept.plan.week != week:
        raise NotNow(f"plan {number} is of {kept.plan.week}, not of {week}")
    _may_be_posted(kept)
    _must_be_as_it_was(book, doing, kept, undecided=one.undecided if one else frozenset())
    must_begin_later(book, kept, doing)
    must_leave_neighbours(book, kept)
    states = {note.id: _state(kept, note) for note in kept.asked.notes}
    firm = {note_id for note_id, state in states.items() if state == "firm"}
    after = brought_up_to(book, doing, kept, firm=firm)
    over = over_caps(book, kept, after, firm)
    if not purpose.moving:
        must_keep(book, doing, kept, after)
    if not purpose.over_caps:
        must_be_within(over, kept)
    gone = discarded_since(posted_plan(book, kept.plan.week), kept)
    _stand_in_its_place(book, kept)
    _set_states(book, kept, states)
    turns = keep_turns(book, kept.plan.week, after)
    growers = {one.grower_id} if one else _concerned(kept, turns) | gone
    messages = tuple(_messages(book, doing, kept, growers))
    week, moving = kept.plan.week, purpose.moving
    keep_deed(book, doing, Act.POST, str(week), plan=number, moving=moving, over_caps=over)
    return Posted(replace(kept, state="posted"), turns, messages)


@dataclass(frozen=True, slots=True)
class Rehearsed:
    """What posting would do. before: the week's turns as people know them now."""

    posted: Posted
    before: tuple[Turn, ...]
    states: dict[str, NoteState]


def rehearse(book: Book, doing: Doing, number: int, *, purpose: OnPurpose) -> Rehearsed:
    """Post the plan in a book of which nothing is kept; refused as posting itself would be."""
    must(doing, Act.POST)
    week = plan_numbered(book.plans, number).plan.week
    before = tuple(each.turn for each in book.turns.where(week=week))
    posted = post(book, doing, number, purpose=purpose)
    states = {each.id: each.state for each in asking_notes(book, week)}
    return Rehearsed(posted, before, states)


def _may_be_posted(kept: KeptPlan) -> None:
    if kept.state != "pencilled":
        raise NotNow(f"plan {kept.number} is {kept.state}; only a pencilled one is posted")
    if kept.plan.rules != FULL.name:
        raise NotNow(f"plan {kept.number} was laid out under the {kept.plan.rules} rules")
    faults = verify(kept.asked, kept.plan)
    if faults:
        raise NotNow(f"plan {kept.number} breaks rule {faults[0].rule}: {faults[0].message}")


def _must_be_as_it_was(
    book: Book, doing: Doing, kept: KeptPlan, *, undecided: frozenset[str]
) -> None:
    entry = week_entry(book, kept.plan.week)
    asked = asked_of(book, kept.plan.week, now=doing.at)
    known = {each.id: each for each in kept.asked.notes if each.id in undecided}
    asked = replace(asked, notes=tuple(known.get(each.id, each) for each in asked.notes))
    if kept.plan.part_lots:  # what had begun in a stopped dryer is on record for the mend
        happened = replace(asked.happened, runs=with_begun(asked.happened.runs, kept))
        asked = replace(asked, happened=happened)
    told = changes(kept.asked, asked)
    if entry.posted != kept.origin.posted:
        told = (f"plan {entry.posted} was posted", *told)
    if told:
        since = f"since plan {kept.number} was laid out; lay out again"
        raise ChangedMeanwhile(f"{'; '.join(told)} {since}", told)


def _stand_in_its_place(book: Book, kept: KeptPlan) -> None:
    entry = week_entry(book, kept.plan.week)
    if entry.posted is not None:
        book.plans.set_state(entry.posted, "closed")
    book.plans.set_state(kept.number, "posted")
    book.weeks.replace(replace(entry, posted=kept.number))


def _state(kept: KeptPlan, note: HarvestNote) -> NoteState:
    """Firm with a place, and papers and letter in order on every day of its turns (rule 15)."""
    tells = Telling(kept.asked, kept.plan, kept.plan, note)
    if not tells.placed():
        return "noted"
    return "pencilled" if tells.papers_short() else "firm"


def _set_states(book: Book, kept: KeptPlan, states: dict[str, NoteState]) -> None:
    """A lot that is at the door already stays there, and one in a run that has started as it is."""
    started = {charge.note_id for run in kept.asked.happened.runs for charge in run.charges}
    for entry in asking_notes(book, kept.plan.week):
        state = entry.state if entry.id in started else states[entry.id]
        if entry.state not in (state, "at the door"):
            book.notes.replace(replace(entry, state=state, version=entry.version + 1))


def _concerned(kept: KeptPlan, changed: tuple[Turn, ...]) -> set[str]:
    """Every grower who has something to hear: a turn of hers changed, or a note waits."""
    waiting = {kept.asked.note(each.note_id).grower_id for each in kept.plan.waiting}
    return {turn.whose for turn in changed} | waiting


def _messages(book: Book, doing: Doing, kept: KeptPlan, growers: set[str]) -> Iterator[Message]:
    for grower_id in sorted(growers):
        text = text_of_posting(book, kept, grower_id)
        yield tell(book, doing, kept, grower_id=grower_id, text=text)
