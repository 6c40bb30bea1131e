"""Rule 16: turns a month and the share of standing lots, as figures beside an answer."""

from __future__ import annotations

from collections.abc import Collection

from scheduler.answer.values import Caps, TurnToCome
from scheduler.caps import TurnDay, months, over_turns, standing_share
from scheduler.domain.asked import Asked
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.plan import Plan


def caps(
    asked: Asked,
    plan: Plan,
    note: HarvestNote,
    *,
    turns: tuple[TurnToCome, ...],
    known: Collection[TurnDay],
) -> Caps:
    """Where the answer stands; known: the turns that the grower has without it."""
    voted, zone = asked.kitchen.caps, asked.kitchen.zone
    new = {(turn.kind, turn.span.start.astimezone(zone).date()) for turn in turns}
    by_month, share = months({*known, *new}), standing_share(asked, plan)
    touched = {(day.year, day.month) for _, day in new}
    over = [told for month in sorted(touched) for told in over_turns(voted, month, by_month[month])]
    if note.standing:
        over += share.over(voted)
    most = max((by_month[month] for month in touched), default=0)
    return Caps(
        turns=most,
        most_turns=voted.turns_a_month,
        standing_rack_s=share.used,
        week_rack_s=share.whole,
        most_standing_percent=voted.standing_percent,
        over=tuple(over),
    )
