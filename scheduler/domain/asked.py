"""All that a lay-out is asked about: one kitchen, one week, its cards, growers, notes and
record."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta

from scheduler.domain.clock import Span, Week, weekly_spans
from scheduler.domain.harvest import Grower, HarvestNote
from scheduler.domain.kitchen import Kitchen
from scheduler.domain.outage import Happened
from scheduler.domain.process_card import ProcessCard
from scheduler.domain.promised import Promised
from scheduler.domain.wish import Wish


@dataclass(frozen=True, slots=True)
class Asked:
    """Notes stand in the order in which they are called: their turn comes first who stand first.

    A note in a started run asks for no further place.
    """

    name: str
    title: str
    kitchen: Kitchen
    week: Week
    cards: tuple[ProcessCard, ...]
    growers: tuple[Grower, ...]
    notes: tuple[HarvestNote, ...]
    happened: Happened = field(default_factory=Happened)
    promised: Promised = field(default_factory=Promised)
    wishes: tuple[Wish, ...] = ()

    def card(self, card_id: str) -> ProcessCard:
        return next(each for each in self.cards if each.id == card_id)

    def grower(self, grower_id: str) -> Grower:
        return next(each for each in self.growers if each.id == grower_id)

    def note(self, note_id: str) -> HarvestNote:
        return next(each for each in self.notes if each.id == note_id)

    def wishes_for(self, note_id: str) -> tuple[Wish, ...]:
        """What is pinned and forbidden of that note."""
        return tuple(each for each in self.wishes if each.note_id == note_id)

    def open_notes(self) -> Iterator[HarvestNote]:
        """The notes that still ask for a place."""
        under_way = {charge.note_id for run in self.happened.runs for charge in run.charges}
        return (note for note in self.notes if note.id not in under_way)

    @property
    def days(self) -> tuple[date, ...]:
        """The week and the Monday after it, when its last lots may still be checked and packed."""
        return (*self.week.days, self.week.monday + timedelta(days=7))

    def staffed(self) -> tuple[Span, ...]:
        """Staffed hours of the week and of the Monday after."""
        return self.kitchen.staffed_spans(self.days)

    def cannot_come(self, grower: Grower) -> tuple[Span, ...]:
        """When that grower cannot come, in the week and on the Monday after."""
        weekly = weekly_spans(grower.cannot, self.days, self.kitchen.zone)
        return tuple(sorted((*weekly, *grower.away)))
