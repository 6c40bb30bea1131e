"""What every turn asks: its uid, its state, how lots, stations and times are written."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.kitchen import Kitchen
from scheduler.domain.plan import Charge, Plan, Run
from scheduler.domain.turn import TurnState
from scheduler.units import Grams
from scheduler.wording import clock_from, weight


@dataclass(frozen=True, slots=True)
class Context:
    """One plan, decided at an instant. firm: ids of the notes that are promised (rule 15)."""

    asked: Asked
    plan: Plan
    at: datetime
    firm: Collection[str]

    def uid(self, *parts: str) -> str:
        """The same for the same thing of the same week, whatever the plan makes of it."""
        return f"{'/'.join((str(self.plan.week), *parts))}@{self.asked.kitchen.id}"

    def state(self, *note_ids: str) -> TurnState:
        """Firm where any of them is: the run then takes place in any case."""
        return "firm" if any(each in self.firm for each in note_ids) else "pencilled"

    def crop(self, note_id: str) -> str:
        return self.asked.card(self.asked.note(note_id).card_id).name

    def lot(self, charge: Charge) -> str:
        """ "kale, R07 A"."""
        return f"{self.crop(charge.note_id)}, {charge.code}"

    def weight(self, amount: Grams) -> str:
        return weight(amount, self.asked.kitchen.weight_unit)

    def clock(self, at: datetime, since: datetime) -> str:
        """By the kitchen's clock; with the weekday where it is another day than since."""
        return clock_from(self._local(at), self._local(since).date())

    def from_to(self, span: Span, since: datetime) -> str:
        """ "08:05 to 09:10"."""
        return f"{self.clock(span.start, since)} to {self.clock(span.end, since)}"

    def drying(self, run: Run, since: datetime) -> str:
        """ "dries 11:15 to Wed 02:15, cool hold to Wed 07:00"."""
        hold = f", cool hold to {self.clock(run.released, since)}"
        dries = f"dries {self.from_to(Span(run.start, run.end), since)}"
        return dries + (hold if run.released > run.end else "")

    def _local(self, at: datetime) -> datetime:
        return at.astimezone(self.asked.kitchen.zone)


def place_of(kitchen: Kitchen) -> str:
    return ", ".join(filter(None, (kitchen.name, kitchen.place)))


def station_names(kitchen: Kitchen) -> dict[str, str]:
    """Every station's name by its id."""
    kinds = (
        kitchen.wash_lines,
        kitchen.tables,
        kitchen.steamers,
        kitchen.chill_tubs,
        kitchen.dryers,
        kitchen.benches,
        kitchen.meters,
        kitchen.freezers,
        (kitchen.cold_store,),
    )
    return {each.id: each.name for stations in kinds for each in stations}
