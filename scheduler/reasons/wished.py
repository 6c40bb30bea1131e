"""The manager's wishes in words, and what letting go of them would place."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.kitchen import Kitchen
from scheduler.domain.wish import Wish
from scheduler.reasons.changes import Change, takes
from scheduler.reasons.sentences import moment
from scheduler.units import DAY, HOUR
from scheduler.wording import day_and_month

LONGEST_DAY = DAY + HOUR  # clocks go back


def place(kitchen: Kitchen, wish: Wish) -> str:
    """ "Dryer 2, Wednesday 19 August", "Dryer 2, the run at Wed 19 Aug 11:00"."""
    here = [each.name for each in kitchen.dryers if each.id == wish.dryer_id]
    return ", ".join([*here, *_when(kitchen, wish)])


def _when(kitchen: Kitchen, wish: Wish) -> Iterator[str]:
    if wish.span is None:
        return
    if wish.kind != "leave free" and wish.span.seconds < HOUR:
        yield f"the run at {moment(wish.span.start, kitchen.zone)}"
    elif _is_day(kitchen, wish.span):
        yield day_and_month(wish.span.start.astimezone(kitchen.zone).date())
    else:
        yield " to ".join(moment(at, kitchen.zone) for at in (wish.span.start, wish.span.end))


def _is_day(kitchen: Kitchen, span: Span) -> bool:
    """Whether it is from midnight to midnight."""
    ends = [at.astimezone(kitchen.zone) for at in (span.start, span.end)]
    return all(at.hour == at.minute == 0 for at in ends) and span.seconds <= LONGEST_DAY


def pinned_to(asked: Asked, note: HarvestNote) -> str:
    """All places that a note is pinned to, in words; "" where it is not."""
    pins = (each for each in asked.wishes_for(note.id) if each.kind == "pin")
    return " or ".join(place(asked.kitchen, each) for each in pins)


def without_wishes(asked: Asked, note: HarvestNote) -> Iterator[Change]:
    """The note were free of its wishes, or a dryer that takes it were not left free."""
    own = asked.wishes_for(note.id)
    if own:
        words = "it were free of what is pinned or forbidden of it by hand"
        yield Change(18, words, letting_go(own))
    card = asked.card(note.card_id)
    for wish in asked.wishes:
        dryers = [each for each in asked.kitchen.dryers if wish.dryer_id in ("", each.id)]
        if wish.kind == "leave free" and any(takes(each, card) for each in dryers):
            words = f"nothing were left free by hand ({place(asked.kitchen, wish)})"
            yield Change(18, words, letting_go((wish,)))


def letting_go(wishes: tuple[Wish, ...]) -> Callable[[Asked], Asked]:
    """The week without those wishes."""

    def to(asked: Asked) -> Asked:
        return replace(asked, wishes=tuple(each for each in asked.wishes if each not in wishes))

    return to
