"""When a dryer is in use: on record, out of order, promised to others, planned, by part-lots."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from scheduler.domain.asked import Asked
from scheduler.domain.kitchen import Dryer
from scheduler.domain.part_lot import PartLot
from scheduler.domain.plan import Plan, Run
from scheduler.emergency.hands import Hands, up
from scheduler.started import dried_on, not_on_record, stopped_early

FOREVER = timedelta(days=60)


@dataclass(frozen=True, slots=True)
class Busy:
    """A dryer in use; free: when it may be loaded again. planned: the run where it may yet be
    moved."""

    start: datetime
    free: datetime
    group: str | None = None
    planned: Run | None = None


def in_use(
    asked: Asked, plan: Plan | None, dryer: Dryer, *, hands: Hands, chosen: Iterable[PartLot] = ()
) -> list[Busy]:
    """In order of start. chosen: part-lots that have their runs beside those of the plan."""
    used = _Used(asked, plan, dryer, hands)
    parts = (*(plan.part_lots if plan else ()), *chosen)
    found = (*used.closed(), *used.started(), *used.dried_on(parts), *used.planned())
    return sorted(found, key=lambda each: each.start)


@dataclass(frozen=True, slots=True)
class _Used:
    asked: Asked
    plan: Plan | None
    dryer: Dryer
    hands: Hands

    @property
    def _never(self) -> datetime:
        return datetime.combine(self.asked.week.monday, datetime.min.time(), tzinfo=UTC) + FOREVER

    def _free(self, end: datetime) -> datetime:
        return self.hands.after(end, self.dryer.turn_round_s) or self._never

    def _group(self, note_id: str) -> str | None:
        cards = (note.card_id for note in self.asked.notes if note.id == note_id)
        return next((self.asked.card(each).group for each in cards), None)

    def closed(self) -> Iterator[Busy]:
        for outage in self.asked.happened.outages:
            if outage.station_id == self.dryer.id:
                yield Busy(outage.stopped, up(outage.back) if outage.back else self._never)
        for each in self.asked.promised.taken:
            if each.who == self.dryer.id:
                yield Busy(each.span.start, up(each.span.end))

    def started(self) -> Iterator[Busy]:
        for run in self.asked.happened.runs:
            if run.dryer_id == self.dryer.id:
                group = self._group(run.charges[0].note_id)
                yield Busy(run.start, self._free(stopped_early(self.asked, run)), group)

    def dried_on(self, parts: Iterable[PartLot]) -> Iterator[Busy]:
        known = dried_on(self.asked, self.plan).values() if self.plan else ()
        for part in parts:
            if part.dries_on in known:
                continue  # as it was
            if part.dries_on and part.dries_on.dryer_id == self.dryer.id:
                free = self._free(stopped_early(self.asked, part.dries_on))
                yield Busy(part.dries_on.start, free, self._group(part.note_id))

    def planned(self) -> Iterator[Busy]:
        now = self.asked.happened.now
        for run in not_on_record(self.asked, self.plan) if self.plan else ():
            if run.dryer_id == self.dryer.id:
                out = run.unload.start if run.unload else run.released
                movable = None if now and run.start <= now else run
                group = self._group(run.charges[0].note_id)
                free = self._free(out)
                if run.wash_down:
                    free, group = max(free, run.wash_down.end), None
                yield Busy(run.start, free, group, movable)
