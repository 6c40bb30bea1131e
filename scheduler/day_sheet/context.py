"""What every part of a sheet asks: the day, the clock, how lots and people are called."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from scheduler.day_sheet.sheet import LotLabel
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.harvest import Grower
from scheduler.domain.plan import Charge, Plan, Run, Work
from scheduler.domain.process_card import ProcessCard
from scheduler.started import all_runs
from scheduler.units import Grams
from scheduler.wording import weight


@dataclass(frozen=True, slots=True)
class Context:
    """One day of one plan. Instants go in in UTC and come out by the kitchen's clock. called_off:
    codes of charges that nobody packs when they were to be packed."""

    asked: Asked
    plan: Plan
    day: date
    called_off: frozenset[str] = frozenset()

    def packs(self, charge: Charge) -> Span | None:
        """When it is packed, if that is on this day."""
        after = charge.after
        if after is None or charge.code in self.called_off or not self.today(after.packing.start):
            return None
        return after.packing

    def local(self, at: datetime) -> datetime:
        return at.astimezone(self.asked.kitchen.zone)

    def today(self, at: datetime) -> bool:
        return self.local(at).date() == self.day

    def card(self, note_id: str) -> ProcessCard:
        return self.asked.card(self.asked.note(note_id).card_id)

    def grower(self, note_id: str) -> Grower:
        return self.asked.grower(self.asked.note(note_id).grower_id)

    def label(self, note_id: str, letter: str = "") -> LotLabel:
        grower = self.grower(note_id)
        crop = self.card(note_id).name
        return LotLabel(f"{note_id} {letter}".strip(), crop, grower.farm, grower.name)

    def lots(self, run: Run) -> tuple[LotLabel, ...]:
        return tuple(self.label(each.note_id, each.letter) for each in run.charges)

    def weight(self, amount: Grams) -> str:
        return weight(amount, self.asked.kitchen.weight_unit)

    def on_duty(self, work: Work, subject: str, station_id: str | None = None) -> tuple[str, ...]:
        """Names of those who do that work on that charge or run, in order of start, each once."""
        names = {grower.id: grower.name for grower in self.asked.growers}
        found = (
            names.get(duty.who, duty.who)
            for duty in sorted(self.plan.duties, key=lambda each: each.span)
            if duty.work == work
            and duty.subject == subject
            and station_id in (None, duty.station_id)
        )
        return tuple(dict.fromkeys(found))

    def runs(self) -> tuple[Run, ...]:
        """Every run of the week in order of start, those already started included."""
        return all_runs(self.asked, self.plan)

    def opening_after(self, at: datetime) -> datetime:
        """The next opening at or after that instant; the instant itself where none is known."""
        openings = (span.start for span in self.asked.staffed() if span.start >= at)
        return min(openings, default=at)

    def closing_of(self) -> datetime | None:
        """When the kitchen closes that day; None where it is closed all day."""
        closings = [span.end for span in self.asked.staffed() if self.today(span.start)]
        return max(closings, default=None)

    def seed(self, charge: Charge) -> str:
        """What the racks to sample are drawn from: the same for a charge whenever it is asked."""
        return f"{self.plan.week}/{charge.code}"
