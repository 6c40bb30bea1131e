"""The manager's wishes for a week: a lot pinned or forbidden, a dryer left free; undone one by
one."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from api.records.wishes import WishEntry
from api.services.asking import asked_of, span_of
from api.services.deeds import keep_deed
from api.services.errors import NoSuchThing, NotNow
from api.services.house import in_force
from api.services.ports import Book
from api.services.promises import promised_in
from api.services.roles import Act, Doing, must
from scheduler.domain.clock import Span, Week, local_instant
from scheduler.domain.kitchen import Kitchen
from scheduler.domain.rules import FULL
from scheduler.domain.wish import Wish
from scheduler.errors import BadInput, InputFault
from scheduler.reasons.judged import Judged, judged
from scheduler.units import GRID


def when(
    zone: ZoneInfo,
    *,
    day: date | None = None,
    start: datetime | None = None,
    end: datetime | None = None,
) -> Span | None:
    """From start to end, or the one mark at which a run starts; else that day by the kitchen's
    clock; else whenever. BadInput where it ends before it starts."""
    if start is not None:
        ends = start + timedelta(seconds=GRID) if end is None else end
        if ends <= start:
            fault = InputFault("wish", None, "end", "must be later than the start")
            raise BadInput((fault,))
        return Span(start, ends)
    if day is None:
        return None
    days = (day, day + timedelta(days=1))
    return Span(*(local_instant(each, time(0), zone) for each in days))


def wishes(book: Book, doing: Doing, week: Week) -> tuple[WishEntry, ...]:
    """Those that hold, in the order in which they were wished."""
    must(doing, Act.READ_WEEK)
    return book.wishes.where(week=week, undone_at=None)


def judge(book: Book, doing: Doing, week: Week, wish: Wish) -> Judged:
    """What it would come to beside the plan laid out last, told before it is wished; by hand.

    BadInput and NotNow as in wish_for.
    """
    _may_be_wished(book, doing, week, wish)
    asked = asked_of(book, week, now=doing.at)
    asked = replace(asked, promised=promised_in(book, asked, moving=False))
    kept = book.plans.newest_of(week)
    plan = kept.plan if kept is not None and kept.plan.rules == FULL.name else None
    return judged(asked, plan, wish)


def wish_for(book: Book, doing: Doing, week: Week, wish: Wish) -> WishEntry:
    """Keep it: the next lay-out keeps to it, or names it. wish.number is not looked at.

    BadInput where its note does not ask for a place in the week, it names no dryer of the kitchen,
    neither dryer nor time, or a time outside the week; NotNow where it is over, or wished already.
    """
    _may_be_wished(book, doing, week, wish)
    span = wish.span
    entry = WishEntry(
        week=week,
        kind=wish.kind,
        note_id=wish.note_id,
        dryer_id=wish.dryer_id,
        start=span.start if span else None,
        end=span.end if span else None,
        by=doing.person.id,
        at=doing.at,
    )
    entry = book.wishes.add(entry)
    keep_deed(book, doing, Act.WISH, str(week), **_told(entry))
    return entry


def undo(book: Book, doing: Doing, number: int) -> WishEntry:
    """It is wished no longer; NoSuchThing where there is none, NotNow where it is undone."""
    must(doing, Act.WISH)
    found = book.wishes.find(number)
    if found is None:
        raise NoSuchThing(f"there is no wish {number}")
    if found.undone_at is not None:
        raise NotNow(f"wish {number} is undone already")
    undone = replace(found, undone_at=doing.at, undone_by=doing.person.id)
    book.wishes.replace(undone)
    keep_deed(book, doing, Act.WISH, str(found.week), undone=number)
    return undone


def _told(entry: WishEntry) -> dict[str, object]:
    names = ("kind", "note_id", "dryer_id", "start", "end")
    return {"wish": entry.number} | {name: getattr(entry, name) for name in names}


def _may_be_wished(book: Book, doing: Doing, week: Week, wish: Wish) -> None:
    must(doing, Act.WISH)
    kitchen = in_force(book).kitchen
    faults = tuple(_faults(book, kitchen, week, wish))
    if faults:
        raise BadInput(faults)
    ends = wish.span.end if wish.span else span_of(kitchen, week).end
    if ends <= doing.at:
        raise NotNow("that time is over")
    same = (replace(each.wish, number=0) for each in book.wishes.where(week=week, undone_at=None))
    if replace(wish, number=0) in same:
        raise NotNow("that is wished already")


def _faults(book: Book, kitchen: Kitchen, week: Week, wish: Wish) -> list[InputFault]:
    found: list[tuple[str, str]] = []
    note = book.notes.find(wish.note_id) if wish.note_id else None
    asks = note is not None and note.asks and note.week == week
    if wish.kind != "leave free" and not asks:
        found.append(("note_id", f"no note {wish.note_id} asks for a place in {week}"))
    if wish.dryer_id and all(each.id != wish.dryer_id for each in kitchen.dryers):
        found.append(("dryer_id", f"there is no dryer {wish.dryer_id}"))
    if wish.kind == "leave free" and not (wish.dryer_id and wish.span):
        found.append(("dryer_id", "which dryer, from when to when?"))
    elif not (wish.dryer_id or wish.span):
        found.append(("dryer_id", "which dryer, or when?"))
    if wish.span and not span_of(kitchen, week).overlaps(wish.span):
        found.append(("start", f"is not in {week}"))
    return [InputFault("wish", None, field, message) for field, message in found]
