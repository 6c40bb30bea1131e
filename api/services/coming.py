"""What is coming in a week, as the kitchen reads it: notes with whose they are and what crop."""

from __future__ import annotations

from dataclasses import dataclass, replace

from api.records.notes import NoteEntry
from api.records.plans import STANDS
from api.services.house import today_of
from api.services.notes import SeenNote, as_seen, notes
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from api.services.weeks import week_entry
from scheduler.domain.clock import Week
from scheduler.domain.harvest import Grower
from scheduler.domain.process_card import ProcessCard
from scheduler.domain.turn import Turn
from scheduler.units import Grams

NOTHING = Grams(0)


@dataclass(frozen=True, slots=True)
class Coming:
    """One note. The grower stands without her papers: what is short of them is told beside it.

    waits: number of the posted plan of its week in which it has no place, or not all of it; else 0.
    waits_g: how much of it waits there. turns: those that stand, where they were asked for.
    """

    seen: SeenNote
    grower: Grower
    card: ProcessCard
    waits: int = 0
    waits_g: Grams = NOTHING
    turns: tuple[Turn, ...] = ()

    @property
    def entry(self) -> NoteEntry:
        return self.seen.entry


def coming(book: Book, doing: Doing, week: Week) -> tuple[Coming, ...]:
    """The notes of a week in order of call, those that ended too."""
    found = as_seen(book, doing, notes(book, doing, week=week, after=None, limit=None))
    growers = {each.id: each.grower for each in book.growers.where()}
    cards = {each.id: each.card for each in book.cards.where()}
    posted, waiting = _waiting(book, week)
    return tuple(
        Coming(
            each,
            growers[each.entry.grower_id],
            cards[each.entry.card_id],
            waits=posted if each.entry.asks and each.entry.id in waiting else 0,
            waits_g=waiting.get(each.entry.id, NOTHING) if each.entry.asks else NOTHING,
        )
        for each in found
    )


def _waiting(book: Book, week: Week) -> tuple[int, dict[str, Grams]]:
    """The number of the week's posted plan, 0 where there is none, and how much of which note waits
    in it."""
    number = week_entry(book, week).posted
    kept = None if number is None else book.plans.find(number)
    if kept is None:
        return 0, {}
    return kept.number, {each.note_id: each.field_g for each in kept.plan.waiting}


def weeks_noted(book: Book, doing: Doing) -> tuple[Week, ...]:
    """The weeks that something was ever noted for, and this one, in order."""
    must(doing, Act.READ_NOTES)
    found = {each.week for each in book.weeks.where()} | {this_week(book, doing)}
    return tuple(sorted(found, key=lambda each: each.monday))


def this_week(book: Book, doing: Doing) -> Week:
    return Week.of(today_of(book, doing.at))


def week_to_show(book: Book, doing: Doing) -> Week:
    """The first from this week on with a note that asks, else this one."""
    now = this_week(book, doing)
    later = (each for each in weeks_noted(book, doing) if each.monday >= now.monday)
    asked = (week for week in later if any(each.asks for each in book.notes.where(week=week)))
    return next(asked, now)


def kept_from_firm(book: Book, doing: Doing) -> tuple[Coming, ...]:
    """The notes from this week on that ask for a place and have papers short (rule 15), with
    the turns that stand all the same."""
    now = this_week(book, doing).monday
    weeks = (each for each in weeks_noted(book, doing) if each.monday >= now)
    found = (each for week in weeks for each in coming(book, doing, week))
    short = (each for each in found if each.entry.asks and each.seen.papers_short)
    return tuple(replace(each, turns=_turns(book, each.entry.id)) for each in short)


def touched_by(book: Book, doing: Doing, grower_id: str) -> tuple[Coming, ...]:
    """Of these, hers; nothing where who asks may not read notes."""
    if doing.reach(Act.READ_NOTES) != "all":
        return ()
    return tuple(each for each in kept_from_firm(book, doing) if each.grower.id == grower_id)


def _turns(book: Book, note_id: str) -> tuple[Turn, ...]:
    kept = (each.turn for each in book.turns.where(note_id=note_id, state=STANDS))
    return tuple(sorted(kept, key=lambda turn: (turn.start, turn.uid)))


def growers_named(book: Book, doing: Doing) -> tuple[tuple[str, str], ...]:
    """Id and name of every member, for who notes for them; by id."""
    must(doing, Act.READ_NOTES)
    return tuple((each.id, f"{each.id} {each.grower.name}") for each in book.growers.where())
