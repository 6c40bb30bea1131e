"""Rule 16: turns a month and the share of standing lots, as figures beside an answer."""

from __future__ import annotations

from datetime import datetime

from scheduler.answer.values import Caps, TurnToCome
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.plan import Plan
from scheduler.wording import count, percent

# a month, per grower: Rental Policies, Value Added Kitchen, N.C. Cooperative Extension, Madison
# County Center
MOST_TURNS = 10
MOST_STANDING_PERCENT = 35  # of the week's rack-hours: demo


def caps(
    asked: Asked,
    plan: Plan,
    note: HarvestNote,
    *,
    turns: tuple[TurnToCome, ...],
    turns_this_month: int,
) -> Caps:
    """Where the answer stands; turns_this_month: those that the grower has without it."""
    standing = {each.id for each in asked.notes if each.standing}
    used = sum(
        charge.racks * Span(run.start, run.end).seconds
        for run, charge in plan.charges()
        if charge.note_id in standing
    )
    whole = sum(dryer.racks for dryer in asked.kitchen.dryers) * _open_s(asked)
    all_turns = turns_this_month + len(turns)
    over = []
    if all_turns > MOST_TURNS:
        over.append(f"{count(all_turns, 'turn')} this month, at most {MOST_TURNS} (rule 16).")
    if note.standing and 100 * used > MOST_STANDING_PERCENT * whole:
        over.append(
            f"Standing lots would have {percent(used / whole)} of the week's rack-hours, "
            f"at most {MOST_STANDING_PERCENT} % (rule 16)."
        )
    return Caps(all_turns, MOST_TURNS, used, whole, MOST_STANDING_PERCENT, tuple(over))


def _open_s(asked: Asked) -> int:
    """From the first opening of the week to its last closing."""
    staffed = asked.kitchen.staffed_spans(asked.week.days)
    ends: list[datetime] = [span.end for span in staffed]
    return Span(staffed[0].start, max(ends)).seconds if staffed else 0
