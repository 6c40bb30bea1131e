"""What the manager's wishes leave of a lot's run starts and of a dryer's time."""

from __future__ import annotations

from collections.abc import Iterator

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.wish import Wish
from scheduler.prepare.calendar import Calendar


def where(asked: Asked, calendar: Calendar, note_id: str) -> tuple[int, ...]:
    """By dryer: mask of the starts of runs that may hold some of the note; () where nothing is
    wished of it."""
    wishes = asked.wishes_for(note_id)
    if not wishes:
        return ()
    everywhere = (1 << calendar.horizon + 1) - 1
    pins = [each for each in wishes if each.kind == "pin"]
    forbidden = [each for each in wishes if each.kind == "forbid"]
    return tuple(
        (_starts(calendar, pins, dryer.id, everywhere) if pins else everywhere)
        & ~_starts(calendar, forbidden, dryer.id, everywhere)
        for dryer in asked.kitchen.dryers
    )


def is_pinned(asked: Asked, note_id: str) -> bool:
    return any(each.kind == "pin" for each in asked.wishes_for(note_id))


def stands(asked: Asked, note_id: str) -> bool:
    """Whether the note has a place that no wish moves: it is firm, or may be under way."""
    plan = asked.promised.plan
    placed = plan is not None and any(each.note_id == note_id for _, each in plan.charges())
    return placed and (note_id in asked.promised.firm or asked.happened.now is not None)


def left_free(asked: Asked, dryer_id: str) -> Iterator[Span]:
    """When that dryer is to be left free."""
    for each in asked.wishes:
        if each.kind == "leave free" and each.dryer_id in ("", dryer_id) and each.span:
            yield each.span


def _starts(calendar: Calendar, wishes: list[Wish], dryer_id: str, everywhere: int) -> int:
    mask = 0
    for wish in wishes:
        if wish.dryer_id not in ("", dryer_id):
            continue
        if wish.span is None:
            return everywhere
        first, after = max(0, calendar.up(wish.span.start)), max(0, calendar.up(wish.span.end))
        mask |= (1 << after) - (1 << first) if first < after else 0
    return mask & everywhere
