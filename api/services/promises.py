"""What a posted plan has promised, and what a plan to be posted would make of it (rule 18)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import timedelta

from api.records.plans import STANDS, KeptPlan
from api.services.errors import NotNow
from api.services.ports import Book
from api.services.roles import Doing
from api.services.weeks import week_entry
from scheduler.domain.clock import Span, Week
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.outage import Outage
from scheduler.domain.turn import Turn
from scheduler.turns import turns_of, work_of

_NAMED = 3  # so many are named; of the rest it is told how many they are


def must_begin_later(kept: KeptPlan, doing: Doing) -> None:
    """NotNow where anything of the plan would have begun without being on record."""
    starts = [run.start for run in kept.plan.runs]
    starts += [turn.start for turn in turns_of(kept.asked, kept.plan, at=doing.at)]
    if starts and min(starts) < doing.at:
        first = min(starts).astimezone(kept.asked.kitchen.zone)
        raise NotNow(
            f"plan {kept.number} begins {first:%a %d %b %H:%M}, which is over; lay out again"
        )


def must_keep(book: Book, doing: Doing, kept: KeptPlan, after: Iterable[Turn]) -> None:
    """NotNow where the turns afterwards break a promise that could be kept."""
    told = broken(book, doing, kept, after)
    if told:
        raise NotNow(
            f"plan {kept.number} moves or drops {len(told)} firm turns that could stand (rule 18): "
            f"{_some(_called(kept, turn) for turn in told)}"
        )


def broken(book: Book, doing: Doing, kept: KeptPlan, after: Iterable[Turn]) -> tuple[Turn, ...]:
    """Firm turns to come that would be moved or called off, in order of start.

    Excused are those whose note asks no longer, or otherwise than when it was promised, and those
    at a station that has stopped since.
    """
    week = kept.plan.week
    posted = week_entry(book, week).posted
    promised = None if posted is None else book.plans.find(posted)
    if promised is None:
        return ()
    stands = {turn.uid: turn.span for turn in after if turn.stands}
    excused = _asks_otherwise(promised, kept) | _at_stopped(promised, kept)
    firm = (each.turn for each in book.turns.where(week=week, state="firm"))
    found = (
        turn
        for turn in firm
        if turn.start >= doing.at
        and turn.note_id not in excused
        and stands.get(turn.uid) != turn.span
    )
    return tuple(sorted(found, key=lambda turn: (turn.start, turn.uid)))


def _asks_otherwise(promised: KeptPlan, kept: KeptPlan) -> set[str]:
    asks = {note.id: _asked_for(note) for note in kept.asked.notes}
    return {note.id for note in promised.asked.notes if asks.get(note.id) != _asked_for(note)}


def _asked_for(note: HarvestNote) -> tuple[object, ...]:
    return note.card_id, note.field_g, note.arrives, note.latest_start


def _at_stopped(promised: KeptPlan, kept: KeptPlan) -> set[str]:
    """Notes whose charges were to use a station while an outage unknown then keeps it down."""
    since = set(kept.asked.happened.outages) - set(promised.asked.happened.outages)
    work = list(work_of(promised.asked, promised.plan, at=promised.laid_out_at))
    hit = [each for each in work if any(_stopped(outage, each) for outage in since)]
    codes = {code for each in hit for code in each.subject.split(", ")}
    return {charge.note_id for _, charge in promised.plan.charges() if charge.code in codes}


def _stopped(outage: Outage, work: Turn) -> bool:
    back = outage.back is None or outage.back > work.start
    return work.whose == outage.station_id and outage.stopped < work.end and back


@dataclass(frozen=True, slots=True)
class _Taken:
    """A grower, a station or a hand, promised for a while."""

    who: str
    span: Span
    title: str


def must_leave_neighbours(book: Book, kept: KeptPlan) -> None:
    """NotNow where a posted plan of the week before or after has promised the same grower,
    station or hand at the same time: a plan covers the Monday after its week."""
    for days in (-7, 7):
        week = Week.of(kept.plan.week.monday + timedelta(days=days))
        told = tuple(_twice(book, kept, week))
        if told:
            raise NotNow(f"week {week} is posted and takes at the same time: {_some(told)}")


def _twice(book: Book, kept: KeptPlan, week: Week) -> Iterator[str]:
    posted = week_entry(book, week).posted
    neighbour = None if posted is None else book.plans.find(posted)
    if neighbour is None:
        return
    growers = [
        _Taken(each.whose, each.turn.span, each.title)
        for each in book.turns.where(week=week, state=STANDS)
    ]
    theirs = [*growers, *_stations_and_hands(neighbour, _asking(book, week))]
    for ours in _taken(kept):
        for each in theirs:
            if each.who == ours.who and each.span.overlaps(ours.span):
                yield f"{ours.who} ({each.title}; {ours.title})"


def _asking(book: Book, week: Week) -> set[str]:
    """Notes of the week with a turn that stands."""
    return {each.note_id for each in book.turns.where(week=week, state=STANDS)}


def _taken(kept: KeptPlan) -> Iterator[_Taken]:
    for turn in turns_of(kept.asked, kept.plan, at=kept.laid_out_at):
        yield _Taken(turn.whose, turn.span, turn.title)
    yield from _stations_and_hands(kept, {note.id for note in kept.asked.notes})


def _stations_and_hands(kept: KeptPlan, notes: set[str]) -> Iterator[_Taken]:
    """Where one lot at a time is worked, and hands by name; only for those notes."""
    kitchen = kept.asked.kitchen
    several = {kitchen.cold_store.id, *(each.id for each in kitchen.chill_tubs)}
    several |= {each.id for each in kitchen.meters}
    of_note = {charge.code: charge.note_id for _, charge in kept.plan.charges()}
    of_run = {run.id: {charge.note_id for charge in run.charges} for run in kept.plan.runs}
    for work in work_of(kept.asked, kept.plan, at=kept.laid_out_at):
        own = {of_note.get(code, "") for code in work.subject.split(", ")}
        if work.whose not in several and own & notes:
            yield _Taken(work.whose, work.span, work.title)
    growers = {each.id for each in kept.asked.growers}
    for duty in kept.plan.duties:
        own = of_run.get(duty.subject, {of_note.get(duty.subject, "")})
        if duty.who not in growers and own & notes:
            yield _Taken(duty.who, duty.span, f"{duty.work} {duty.subject}")


def _called(kept: KeptPlan, turn: Turn) -> str:
    start = turn.start.astimezone(kept.asked.kitchen.zone)
    return f"{turn.whose} {start:%a %d %b %H:%M} {turn.title}"


def _some(told: Iterable[str]) -> str:
    found = list(dict.fromkeys(told))
    more = len(found) - _NAMED
    return "; ".join(found[:_NAMED]) + (f"; and {more} more" if more > 0 else "")
