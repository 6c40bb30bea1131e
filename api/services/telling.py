"""What a grower hears: of a plan that is posted, and of a note of hers that ends after that."""

from __future__ import annotations

from collections.abc import Iterator

from api.records.notes import NoteEntry, NoteState
from api.records.plans import STANDS, KeptPlan
from api.records.told import Message
from api.services.house import zone_of
from api.services.messages import called, fitting, head_of, lines_for, tell, to_be_sent
from api.services.ports import Book
from api.services.roles import Doing
from api.services.weeks import week_entry
from scheduler.wording import clock, short_day

_ENDED: dict[NoteState, str] = {
    "let go": "let go, no longer expected.",
    "stood down": "stood down by the kitchen, no longer expected.",
    "no-show": "did not come, no longer expected.",
    "carried over": "carried over to a later week, no longer expected in this one.",
}
_AS_SHE_ASKED = "let go, as you asked."


def tell_of_end(book: Book, doing: Doing, ended: NoteEntry) -> Message | None:
    """One text to the grower; None where no posted plan has told her of the note."""
    own = doing.person.grower_id == ended.grower_id
    return _tell(book, doing, ended, _AS_SHE_ASKED if own else _ENDED[ended.state])


def tell_of_carrying(book: Book, doing: Doing, ended: NoteEntry, anew: NoteEntry) -> Message | None:
    """Likewise, with the note that it begins anew as."""
    arrives = anew.arrives.astimezone(zone_of(book))
    said = (
        f"carried over to week {anew.week} as {anew.id}, {short_day(arrives)} {clock(arrives)}, "
        "not promised yet; no longer expected this week."
    )
    return _tell(book, doing, ended, said)


def tell_of_lot(
    book: Book, doing: Doing, entry: NoteEntry, said: str, *, turns: bool = False
) -> Message | None:
    """What became of a lot of hers in the kitchen. turns: with those of it that are still to
    come."""
    if turns:
        coming = book.turns.where(note_id=entry.id, state=STANDS)
        ahead = sorted(each.start for each in coming if each.start >= doing.at)
        zone = zone_of(book)
        days = (f"{short_day(at.astimezone(zone))} {clock(at.astimezone(zone))}" for at in ahead)
        said = f"{said} Your turns: {', '.join(days)}." if ahead else said
    return _tell(book, doing, entry, said)


def text_of_posting(book: Book, kept: KeptPlan, grower_id: str) -> str:
    """When to come for what, and what waits; with it what an unsent text would have said."""
    return fitting(head_of(kept), list(_lines(book, kept, grower_id)))


def _tell(book: Book, doing: Doing, ended: NoteEntry, said: str) -> Message | None:
    posted = week_entry(book, ended.week).posted
    kept = None if posted is None else book.plans.find(posted)
    if kept is None or all(each.id != ended.id for each in kept.asked.notes):
        return None
    lines = [f"{called(kept.asked, ended.note)}: {said}"]
    if to_be_sent(book, ended.grower_id, ended.week):
        lines += _lines(book, kept, ended.grower_id, besides=ended.id)
    text = fitting(head_of(kept), lines)
    return tell(book, doing, kept, grower_id=ended.grower_id, text=text)


def _lines(book: Book, kept: KeptPlan, grower_id: str, *, besides: str = "") -> Iterator[str]:
    """A sentence for each of her notes but one. That a note ended she hears once: again only where
    the text that says so is still to be sent."""
    week = kept.plan.week
    hers = book.notes.where(week=week, grower_id=grower_id)
    ended = {each.id: each for each in hers if each.state in _ENDED}
    if to_be_sent(book, grower_id, week):
        for each in ended.values():
            if each.id != besides:
                yield f"{called(kept.asked, each.note)}: {_ENDED[each.state]}"
    turns = [each.turn for each in book.turns.where(whose=grower_id, week=week)]
    yield from lines_for(kept, turns, grower_id, besides={besides, *ended})
