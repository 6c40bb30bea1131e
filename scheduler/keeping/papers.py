"""Papers and process letters on the days of a promised note's turns (rule 15)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime

from scheduler.domain.asked import Asked
from scheduler.domain.plan import Charge
from scheduler.wording import LETTER_PENDING, listed, paper_short


def short_on_its_days(asked: Asked, note_id: str, charges: Iterable[Charge]) -> str:
    """What is not in order on a day of its turns, as a sentence; empty where all is."""
    note = asked.note(note_id)
    zone = asked.kitchen.zone
    days = sorted({at.astimezone(zone).date() for at in _instants(charges)})
    grower = asked.grower(note.grower_id)
    short = [paper_short(paper) for day in days for paper in grower.papers_short(day)]
    letter = [] if asked.card(note.card_id).approved else [LETTER_PENDING]
    told = list(dict.fromkeys((*short, *letter)))
    return f"Papers are short: {listed(told)}." if told else ""


def _instants(charges: Iterable[Charge]) -> Iterator[datetime]:
    for charge in charges:
        if charge.preparation:
            yield charge.preparation.wash.start
        if charge.after:
            yield charge.after.packing.start
