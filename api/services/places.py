"""The place of one lot anew, beside all else that is posted: a true weight, another time, freed
room."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from api.records.notes import NoteEntry
from api.records.plans import STANDS, From, KeptPlan
from api.services.asking import asked_of
from api.services.at_the_door import posted_plan, undecided_in
from api.services.deeds import keep_deed
from api.services.errors import NotNow
from api.services.notes import change_times, note, unplaced
from api.services.plans import keep
from api.services.ports import Book
from api.services.posting import OneLot, Posted, post_one_lot
from api.services.promises import promised_in
from api.services.roles import Act, Doing, must
from api.services.so_far import so_far
from api.services.telling import tell_of_lot
from api.services.turns import end_turns
from api.services.weeks import week_entry
from scheduler.answer.again import Around, Kind, Place, stands
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.ledger import in_turn, ledger

MOST_OFFERS = 12  # notes that wait and are looked at: more is not read at a door (demo)
NOWHERE = (
    "expected at another time now, and there is no place for it without moving others;"
    " the kitchen lays out again and tells you."
)


class PlanBroken(NotNow):
    """The posted plan no longer holds by itself: it is to be mended before anybody is placed."""


@dataclass(frozen=True, slots=True)
class Ways:
    """What the note has: its place as posted (holds), or at most three others that move nobody.

    rule, why: what leaves it without any; broken: the posted plan itself no longer holds.
    """

    entry: NoteEntry
    kept: KeptPlan
    holds: bool
    places: tuple[Place, ...]
    rule: int | None = None
    why: str = ""
    broken: bool = False


@dataclass(frozen=True, slots=True)
class Offer:
    """A note that waits and would have a place now. turn: its place in order of turn, from 1."""

    entry: NoteEntry
    turn: int
    place: Place


def ways(book: Book, doing: Doing, note_id: str) -> Ways:
    """The ways of one note as it asks now; NotNow where no plan is posted, or it has begun."""
    must(doing, Act.PLACE)
    entry = note(book, doing, note_id, Act.PLACE)
    if not entry.asks:
        raise NotNow(f"note {note_id} is {entry.state}")
    kept = _posted(book, entry.week)
    asked = _asked(book, doing, kept, besides=note_id)
    if any(each.note_id == note_id for run in asked.happened.runs for each in run.charges):
        raise NotNow(f"note {note_id} is in a run that has started; it is never moved (rule 18)")
    if _has_turns(book, note_id) and stands(asked, kept.plan, note_id, now=doing.at):
        return Ways(entry, kept, True, ())
    around = _around(book, asked, kept, (note_id,), now=doing.at)
    if around is None:
        return Ways(entry, kept, False, (), broken=True)
    found = around.places(note_id)
    if found:
        return Ways(entry, kept, False, found)
    cost = around.why_not(note_id)
    return Ways(entry, kept, False, (), cost.rule, cost.reason)


def take(book: Book, doing: Doing, note_id: str, kind: Kind) -> Posted:
    """That way at one press: the plan with it is posted, and its grower hears of it. NotNow where
    there is no such way (any longer), or as for posting."""
    found = ways(book, doing, note_id)
    place = next((each for each in found.places if each.kind == kind), None)
    if place is None:
        raise NotNow(f"note {note_id} has no place of that kind ({kind}) any longer; look again")
    return _post(book, doing, found.entry, place)


def _post(book: Book, doing: Doing, entry: NoteEntry, place: Place) -> Posted:
    week, kept = week_entry(book, entry.week), _posted(book, entry.week)
    asked = _asked(book, doing, kept, besides=entry.id)
    firm = asked.promised.firm - {entry.id}
    asked = replace(asked, promised=replace(asked.promised, firm=firm))
    origin = From(week.notes_version, week.posted, doing.person.id)
    number = keep(book.plans, asked, place.plan, laid_out_at=doing.at, origin=origin)
    undecided = undecided_in(asked_of(book, entry.week, now=doing.at), kept) - {entry.id}
    one = OneLot(entry.grower_id, frozenset(undecided))
    posted = post_one_lot(book, doing, number, one=one)
    keep_deed(book, doing, Act.PLACE, entry.id, plan=number, kind=place.kind)
    return posted


def offers(book: Book, doing: Doing, week: Week) -> tuple[Offer, ...]:
    """Who waits and would have a place, in order of turn (rule B); nobody else is moved.

    PlanBroken where the posted plan itself no longer holds.
    """
    must(doing, Act.PLACE)
    kept = _posted(book, week)
    asked = _asked(book, doing, kept)
    asked = in_turn(asked, ledger(asked.growers, so_far(book, week)))
    waiting = [each.id for each in asked.open_notes() if not _has_turns(book, each.id)]
    around = _around(book, asked, kept, waiting, now=doing.at)
    if around is None:
        raise PlanBroken(f"the posted plan of {week} no longer holds by itself; mend it first")
    return tuple(_offers(book, doing, around, waiting[:MOST_OFFERS]))


def _offers(book: Book, doing: Doing, around: Around, waiting: Sequence[str]) -> Iterator[Offer]:
    for turn, note_id in enumerate(waiting, 1):
        found = around.places(note_id)
        if found:
            yield Offer(note(book, doing, note_id, Act.PLACE), turn, found[0])


def look_later(book: Book, doing: Doing, note_id: str, *, version: int, arrives: datetime) -> Ways:
    """What the note would have if it came at that time; to be asked in a book that keeps
    nothing."""
    change_times(book, doing, note_id, version=version, arrives=arrives)
    return ways(book, doing, note_id)


def comes_later(
    book: Book, doing: Doing, note_id: str, *, version: int, arrives: datetime, kind: Kind | None
) -> NoteEntry:
    """It comes at that time: its turn holds, or it takes the way of that kind, or (None) it has no
    place until the week is mended: then its turns end, and its grower hears why."""
    entry = change_times(book, doing, note_id, version=version, arrives=arrives)
    found = ways(book, doing, note_id)
    if found.holds:
        return entry
    if kind is not None:
        take(book, doing, note_id, kind)
    else:
        end_turns(book, doing, note_id, "stood down")
        tell_of_lot(book, doing, entry, NOWHERE)
        unplaced(book, note_id)
    return note(book, doing, note_id, Act.PLACE)


def _posted(book: Book, week: Week) -> KeptPlan:
    kept = posted_plan(book, week)
    if kept is None:
        raise NotNow(f"no plan of {week} is posted")
    return kept


def _asked(book: Book, doing: Doing, kept: KeptPlan, *, besides: str = "") -> Asked:
    """The week as it asks now. A lot that weighed otherwise stays as it was promised until somebody
    decides on it; besides: the one that is being decided on."""
    asked = asked_of(book, kept.plan.week, now=doing.at)
    promised = promised_in(book, asked, moving=False)
    planned = {each.id: each for each in kept.asked.notes}
    undecided = undecided_in(asked, kept) - {besides}
    notes = (planned[each.id] if each.id in undecided else each for each in asked.notes)
    return replace(asked, notes=tuple(notes), promised=promised)


def _has_turns(book: Book, note_id: str) -> bool:
    return bool(book.turns.where(note_id=note_id, state=STANDS, limit=1))


def _around(
    book: Book, asked: Asked, kept: KeptPlan, loose: Sequence[str], *, now: datetime
) -> Around | None:
    """The posted plan around those notes, and without what has lost its place; None where the rest
    of it does not hold by itself."""
    gone = {each.note_id for _, each in kept.plan.charges() if not _has_turns(book, each.note_id)}
    return Around.of(asked, kept.plan, {*loose, *gone}, now=now)
