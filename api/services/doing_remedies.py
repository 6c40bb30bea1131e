"""Remedies of the waiting list that change more than the note: hours of the kitchen, wishes."""

from __future__ import annotations

from dataclasses import dataclass

from api.records.house import KitchenSettings
from api.records.wishes import WishEntry
from api.services.changing import change_kitchen
from api.services.errors import NotNow
from api.services.house import in_force
from api.services.plans import plan_for
from api.services.ports import Book
from api.services.remedies import Remedy, remedy_of
from api.services.roles import Act, Doing, must
from api.services.wishes import undo
from scheduler.domain.kitchen import Kitchen


@dataclass(frozen=True, slots=True)
class KitchenNow:
    """What a press may change. settings: the number in force; down: stations that are down;
    wishes: the numbers of those that hold."""

    settings: int = 0
    kitchen: Kitchen | None = None
    down: frozenset[str] = frozenset()
    wishes: frozenset[int] = frozenset()


def kitchen_now(book: Book) -> KitchenNow:
    found = book.settings.last()
    if found is None:
        return KitchenNow()
    down = frozenset(each.station_id for each in book.outages.where(back=None))
    holding = frozenset(each.number for each in book.wishes.where(undone_at=None))
    return KitchenNow(found.number, found.kitchen, down, holding)


def stay_longer(
    book: Book, doing: Doing, number: int, note_id: str, *, version: int
) -> KitchenSettings:
    """Staff the kitchen as the remedy says, that weekday of every week from now on.

    NotNow where plan number knows no such remedy for the note, or other hours stand by now;
    OldVersion as in change_kitchen.
    """
    must(doing, Act.KEEP_HOUSE)
    remedy, kitchen = _remedy(book, doing, number, note_id)
    if not remedy.hours or not are_those(kitchen, in_force(book).kitchen):
        raise NotNow(f"the kitchen's hours are not as plan {number} knew them; lay out again")
    return change_kitchen(book, doing, version=version, to=remedy.hours)


def hours_as_before(book: Book, doing: Doing, before: int, *, version: int) -> KitchenSettings:
    """The hours and shifts of that version again."""
    must(doing, Act.KEEP_HOUSE)
    found = book.settings.find(before)
    if found is None:
        raise NotNow(f"the kitchen has no settings {before}")
    to = {"staffed": found.kitchen.staffed, "hands": found.kitchen.hands}
    return change_kitchen(book, doing, version=version, to=to)


def let_go_of_wishes(book: Book, doing: Doing, number: int, note_id: str) -> tuple[WishEntry, ...]:
    """Undo what the remedy names; NotNow where it names none."""
    must(doing, Act.WISH)
    remedy, _ = _remedy(book, doing, number, note_id)
    if not remedy.wishes:
        raise NotNow(f"plan {number} knows no wish in the way of {note_id}")
    return tuple(undo(book, doing, each) for each in remedy.wishes)


def are_those(one: Kitchen, other: Kitchen) -> bool:
    """Whether both have the same hours and shifts."""
    return (one.staffed, one.hands) == (other.staffed, other.hands)


def _remedy(book: Book, doing: Doing, number: int, note_id: str) -> tuple[Remedy, Kitchen]:
    kept = plan_for(book, doing, number)
    waiting = next((each for each in kept.plan.waiting if each.note_id == note_id), None)
    remedy = None if waiting is None else remedy_of(kept.asked, waiting)
    return remedy or Remedy(), kept.asked.kitchen
