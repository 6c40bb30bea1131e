"""Where racks of a stopped charge may dry on: slots in other dryers, and what they displace."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from scheduler.domain.asked import Asked
from scheduler.domain.kitchen import Dryer
from scheduler.domain.part_lot import PartLot
from scheduler.domain.plan import Plan, Run
from scheduler.emergency.busy import Busy, in_use
from scheduler.emergency.hands import Hands
from scheduler.emergency.notice import notice_h, weight_g
from scheduler.emergency.stopped import Stopped
from scheduler.units import HOUR

HORIZON = timedelta(hours=48)
HOUR_G = 60  # grams that an hour's waiting counts: part-dry food should be finished soon (demo)


@dataclass(frozen=True, slots=True)
class Slot:
    """A run that racks may dry on in. displaced: planned runs that would have to go."""

    dryer: Dryer
    start: datetime
    end: datetime
    displaced: tuple[Run, ...]
    cost_g: int


@dataclass(frozen=True, slots=True)
class House:
    """The dryers as they stand after a stop, part-lots that have their run included."""

    asked: Asked
    plan: Plan | None
    hands: Hands
    now: datetime

    def slots(self, what: Stopped, chosen: Iterable[PartLot] = ()) -> list[Slot]:
        """All that suit its climate and racks (rules 5, 6, 8 and 3), the cheapest first."""
        found = {
            slot
            for dryer in self.asked.kitchen.dryers
            if suits(what, dryer)
            for slot in self._of(dryer, what, tuple(chosen))
        }
        return sorted(found, key=lambda each: (each.cost_g, each.start, each.dryer.id))

    def _of(self, dryer: Dryer, what: Stopped, chosen: tuple[PartLot, ...]) -> Iterator[Slot]:
        busy = in_use(self.asked, self.plan, dryer, hands=self.hands, chosen=chosen)
        frees = {self.hands.there, *(each.free for each in busy)}
        for start in sorted(each for each in frees if each >= self.hands.there):
            if start <= what.at + HORIZON:
                slot = self._slot(dryer, what, busy, start)
                if slot is not None:
                    yield slot

    def _slot(self, dryer: Dryer, what: Stopped, busy: list[Busy], at: datetime) -> Slot | None:
        start = at if self.hands.hold(at) else self.hands.after(at, 0)
        if start is None:
            return None
        washed = self._washed(dryer, what, busy, start)
        if washed is None or washed > start:
            return None if washed is None else self._slot(dryer, what, busy, washed)
        end = start + timedelta(seconds=what.left_s)
        free = self.hands.after(end, dryer.turn_round_s)
        if free is None or not self._may_end(dryer, start, end):
            return None
        met = [each for each in busy if each.start < free and start < each.free]
        if any(each.planned is None for each in met):
            return None
        runs = tuple(each.planned for each in met if each.planned)
        return Slot(dryer, start, end, runs, self._cost(what, start, runs))

    def _washed(
        self, dryer: Dryer, what: Stopped, busy: list[Busy], start: datetime
    ) -> datetime | None:
        """Late enough for a wash-down where the group of the run before asks for it (rule 8)."""
        before = max((each for each in busy if each.start < start), key=_start, default=None)
        if before is None or before.group is None:
            return start
        if what.card.group not in self.asked.kitchen.group(before.group).wash_down_before:
            return start
        washed = self.hands.after(before.free, dryer.wash_down_s)
        return washed if washed is None else max(start, washed)

    def _may_end(self, dryer: Dryer, start: datetime, end: datetime) -> bool:
        released = self.hands.release(end)
        if released is None or not self.hands.hold(start):
            return False
        held = (released - end).total_seconds()
        attended = any(s.start <= start and end <= s.end for s in self.hands.staffed)
        most = self.asked.kitchen.limits.cool_hold_most_s
        return held <= most and (dryer.runs_unattended or attended)

    def _cost(self, what: Stopped, start: datetime, displaced: tuple[Run, ...]) -> int:
        waits = HOUR_G * (start - what.at).total_seconds() / HOUR
        turns = 0
        for run in displaced:
            for charge in run.charges:
                firm = charge.note_id in self.asked.promised.firm
                begins = charge.preparation.wash.start if charge.preparation else run.start
                turns += weight_g(notice_h(self.now, begins), firm=firm)
        return round(waits) + turns


def _start(busy: Busy) -> datetime:
    return busy.start


def suits(what: Stopped, dryer: Dryer) -> bool:
    """Rules 5 and 6: the group, the set point, and racks of the same size."""
    return (
        what.card.group in dryer.groups
        and dryer.coolest_c <= what.set_point_c <= dryer.hottest_c
        and dryer.rack_area_cm2 == what.dryer.rack_area_cm2
    )
