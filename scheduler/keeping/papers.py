"""Papers and process letters on the days of a promised note's turns (rule 15)."""

from __future__ import annotations

from scheduler.domain.asked import Asked
from scheduler.domain.plan import Plan
from scheduler.papers import short_in
from scheduler.wording import listed


def short_on_its_days(asked: Asked, plan: Plan, note_id: str) -> str:
    """What is not in order on a day of its turns, as a sentence; empty where all is."""
    told = short_in(asked, plan, asked.note(note_id))
    return f"Papers are short: {listed(told)}." if told else ""
