"""What a posted plan has promised, and what a plan to be posted would make of it (rule 18)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import timedelta

from api.records.plans import STANDS, KeptPlan
from api.services.asking import span_of
from api.services.errors import NotNow
from api.services.ports import Book
from api.services.roles import Doing
from api.services.weeks import week_entry
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.outage import Outage
from scheduler.domain.promised import Promised, Taken
from scheduler.domain.turn import Turn
from scheduler.keeping import cannot_be_kept
from scheduler.turns import taken_by, turns_of, work_of

_NAMED = 3  # so many are named; of the rest it is told how many they are


def promised_in(book: Book, asked: Asked, *, moving: bool) -> Promised:
    """What a lay-out of the week must know: its posted plan with the notes that are firm (none, if
    they may be moved), and what is taken by the weeks beside it and by what is under way."""
    found = _posted(book, asked.week)
    taken = tuple(
        each
        for each in (*_by_neighbours(book, asked), *_under_way(book, asked, found))
        if each.span.overlaps(span_of(asked.kitchen, asked.week))
    )
    if found is None:
        return Promised(taken=taken)
    firm = () if moving else book.turns.where(week=asked.week, state="firm")
    return Promised(found.plan, frozenset(each.note_id for each in firm), taken)


def _posted(book: Book, week: Week) -> KeptPlan | None:
    number = week_entry(book, week).posted
    return None if number is None else book.plans.find(number)


def _neighbours(book: Book, week: Week) -> Iterator[KeptPlan]:
    """The posted plans of the week before and after: a plan covers the Monday after its week."""
    for days in (-7, 7):
        found = _posted(book, Week.of(week.monday + timedelta(days=days)))
        if found is not None:
            yield found


def _by_neighbours(book: Book, asked: Asked) -> Iterator[Taken]:
    for kept in _neighbours(book, asked.week):
        yield from _taken(kept, _asking(book, kept.plan.week))


def _under_way(book: Book, asked: Asked, posted: KeptPlan | None) -> Iterator[Taken]:
    """What the posted plan has for notes of which a run has started, but for that run's dryer."""
    runs = asked.happened.runs
    started = {charge.note_id for run in runs for charge in run.charges}
    if posted is None or not started:
        return
    dryers = {(run.dryer_id, charge.note_id) for run in runs for charge in run.charges}
    going = {
        (run.dryer_id, run.start)
        for run, charge in posted.plan.charges()
        if (run.dryer_id, charge.note_id) in dryers
    }
    for each in _taken(posted, started & _asking(book, asked.week)):
        if not any(each.who == dryer and each.span.start >= at for dryer, at in going):
            yield each


def must_begin_later(book: Book, kept: KeptPlan, doing: Doing) -> None:
    """NotNow where anything of the plan would have begun without being on record or promised."""
    posted = _posted(book, kept.plan.week)
    begun = set() if posted is None else {(run.dryer_id, run.start) for run in posted.plan.runs}
    known = {each.turn.uid: each.start for each in book.turns.where(week=kept.plan.week)}
    starts = [run.start for run in kept.plan.runs if (run.dryer_id, run.start) not in begun]
    starts += [
        turn.start
        for turn in turns_of(kept.asked, kept.plan, at=doing.at)
        if known.get(turn.uid) != turn.start
    ]
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

    Excused are those whose note asks no longer, or otherwise than when it was promised, those at a
    station that has stopped since, and those that the plan names as moved and that cannot be kept.
    """
    week = kept.plan.week
    promised = _posted(book, week)
    if promised is None:
        return ()
    stands = {turn.uid: turn.span for turn in after if turn.stands}
    firm = [each.turn for each in book.turns.where(week=week, state="firm")]
    excused = _asks_otherwise(promised, kept) | _at_stopped(promised, kept)
    excused |= _impossible(promised, kept, frozenset(turn.note_id for turn in firm))
    found = (
        turn
        for turn in firm
        if turn.start >= doing.at
        and turn.note_id not in excused
        and stands.get(turn.uid) != turn.span
    )
    return tuple(sorted(found, key=lambda turn: (turn.start, turn.uid)))


def _impossible(promised: KeptPlan, kept: KeptPlan, firm: frozenset[str]) -> set[str]:
    """Reckoned anew: what a plan says of itself is no proof."""
    named = {each.note_id for each in kept.plan.moved}
    if not named:
        return set()
    asked = replace(kept.asked, promised=Promised(promised.plan, firm, kept.asked.promised.taken))
    return named & {each.note_id for each in cannot_be_kept(asked)}


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


def must_leave_neighbours(book: Book, kept: KeptPlan) -> None:
    """NotNow where a posted plan of the week before or after has promised the same grower,
    station or hand at the same time."""
    for neighbour in _neighbours(book, kept.plan.week):
        told = tuple(_twice(book, kept, neighbour))
        if told:
            week = neighbour.plan.week
            raise NotNow(f"week {week} is posted and takes at the same time: {_some(told)}")


def _twice(book: Book, kept: KeptPlan, neighbour: KeptPlan) -> Iterator[str]:
    theirs = tuple(_taken(neighbour, _asking(book, neighbour.plan.week)))
    for ours in _taken(kept, {note.id for note in kept.asked.notes}):
        for each in theirs:
            if each.who == ours.who and each.span.overlaps(ours.span):
                yield f"{ours.who} ({each.work}; {ours.work})"


def _asking(book: Book, week: Week) -> set[str]:
    """Notes of the week with a turn that stands."""
    return {each.note_id for each in book.turns.where(week=week, state=STANDS)}


def _taken(kept: KeptPlan, notes: set[str]) -> Iterator[Taken]:
    return taken_by(kept.asked, kept.plan, notes, at=kept.laid_out_at)


def _called(kept: KeptPlan, turn: Turn) -> str:
    start = turn.start.astimezone(kept.asked.kitchen.zone)
    return f"{turn.whose} {start:%a %d %b %H:%M} {turn.title}"


def _some(told: Iterable[str]) -> str:
    found = list(dict.fromkeys(told))
    more = len(found) - _NAMED
    return "; ".join(found[:_NAMED]) + (f"; and {more} more" if more > 0 else "")
