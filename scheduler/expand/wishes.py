"""The manager's wishes that a plan does not keep, each with the rule in the way."""

from __future__ import annotations

from collections.abc import Iterator

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.plan import Plan, Run, Unkept
from scheduler.domain.wish import Wish

FIRM = "What stands there otherwise is firm, or under way, and stays where it is"
STARTED = "It is in a run that has started"
GONE = "Its note asks for no place"
NO_PLACE = "No place was found for all of it where it is pinned"


def unkept(asked: Asked, plan: Plan) -> tuple[Unkept, ...]:
    """In the order of the wishes. What waits of a pinned note bears the reason of the waiting
    list, where it has one."""
    return tuple(each for wish in asked.wishes for each in _unkept(asked, plan, wish))


def _unkept(asked: Asked, plan: Plan, wish: Wish) -> Iterator[Unkept]:
    if wish.kind == "leave free":
        if any(_takes(run, wish) for run in plan.runs):
            yield Unkept(wish.number, 18, FIRM)
    elif wish.note_id not in {note.id for note in asked.notes}:
        yield Unkept(wish.number, None, GONE)
    elif wish.note_id not in {note.id for note in asked.open_notes()}:
        yield Unkept(wish.number, 18, STARTED)
    elif not _stands(asked, plan, wish):
        yield Unkept(wish.number, 18, FIRM)
    else:
        yield from _waits(plan, wish)


def _waits(plan: Plan, wish: Wish) -> Iterator[Unkept]:
    """What has no place of a note that is pinned."""
    for each in plan.waiting:
        if wish.kind == "pin" and each.note_id == wish.note_id:
            yield Unkept(wish.number, each.rule, each.reason or NO_PLACE)


def _stands(asked: Asked, plan: Plan, wish: Wish) -> bool:
    """Whether every charge of its note is where the wish, or another pin of the note, lets it."""
    meant = [each for each in asked.wishes_for(wish.note_id) if each.kind == wish.kind]
    starts = [
        (run.dryer_id, run.start)
        for run, charge in plan.charges()
        if charge.note_id == wish.note_id
    ]
    if wish.kind == "forbid":
        return not any(wish.meets(*each) for each in starts)
    return all(any(pin.meets(*each) for pin in meant) for each in starts)


def _takes(run: Run, wish: Wish) -> bool:
    """Whether a run, to the end of its unloading and washing, is on a dryer to be left free."""
    ends = [run.released, *(span.end for span in (run.unload, run.wash_down) if span)]
    used = Span(run.start, max(ends))
    return wish.dryer_id in ("", run.dryer_id) and bool(wish.span and used.overlaps(wish.span))
