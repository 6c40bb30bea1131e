"""The replays: each dryer's runs one after the other, in all replays at once."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Literal

import numpy as np

from scheduler.domain.asked import Asked
from scheduler.domain.kitchen import Dryer
from scheduler.domain.plan import Charge, Plan, Run
from scheduler.shake.spread import SPREAD, Draws, Spread, drawn
from scheduler.shake.staffed import Staffed
from scheduler.units import HOUR, MINUTE

HOLDS_S = 30 * MINUTE  # a turn that much later than told still holds: demo
BUFFER_S = HOUR  # tried before each run
DAYS_AFTER = 14  # staffed hours are known so long after the week
Kind = Literal["bringing", "packing"]


@dataclass(frozen=True, slots=True)
class Held:
    """One turn of a charge: how often it holds, and how often its run starts past the latest start
    of the note; shares of one."""

    note_id: str
    code: str
    kind: Kind
    at: datetime
    dryer_id: str
    holds: float
    past_keeping: float


@dataclass(frozen=True, slots=True)
class Buffer:
    """An hour more before a run: how many more turns hold then, on average of a week."""

    run_id: str
    dryer_id: str
    before: datetime
    turns: float


@dataclass(frozen=True, slots=True)
class Shaken:
    """turns in order of time; buffers, the most useful first; spread: what was not as planned."""

    times: int
    turns: tuple[Held, ...]
    buffers: tuple[Buffer, ...]
    spread: Spread

    @property
    def holding(self) -> float:
        """How many turns hold on average."""
        return sum(turn.holds for turn in self.turns)


def shaken(
    asked: Asked, plan: Plan, *, spread: Spread = SPREAD, times: int = 1000, seed: int = 1
) -> Shaken:
    """The plan replayed so many times; the same seed gives the same figures."""
    shake = _Shake(asked, plan, spread, times=times, seed=seed)
    turns, buffers = [], []
    for dryer in asked.kitchen.dryers:
        runs = sorted((r for r in plan.runs if r.dryer_id == dryer.id), key=lambda r: r.start)
        told = shake.replayed(dryer, runs)
        turns += told
        now = sum(turn.holds for turn in told)
        for run in runs:
            then = sum(turn.holds for turn in shake.replayed(dryer, runs, buffered=run))
            buffers.append(Buffer(run.id, dryer.id, run.start, then - now))
    turns.sort(key=lambda turn: (turn.at, turn.code))
    buffers.sort(key=lambda buffer: (-buffer.turns, buffer.before))
    return Shaken(times, tuple(turns), tuple(buffers), spread)


@dataclass(slots=True)
class _Told:
    """One run in all replays."""

    run: Run
    start: Draws
    unloaded: Draws
    shift: float
    held: list[Held] = field(default_factory=list)


class _Shake:
    def __init__(self, asked: Asked, plan: Plan, spread: Spread, *, times: int, seed: int) -> None:
        self.asked, self.times = asked, times
        rng = np.random.default_rng(seed)
        self.begin = min((run.start for run in plan.runs), default=None)
        self.staffed = Staffed(self._spans())
        notes = sorted({charge.note_id for _, charge in plan.charges()})
        self.hours = {note: drawn(rng, spread.drying, times) for note in notes}
        self.weight = {note: drawn(rng, spread.weight, times) for note in notes}
        self.late = {note: rng.triangular(0, 0, spread.late_s + 1e-9, times) for note in notes}
        stops = rng.random(times) < spread.stop_chance
        which = rng.integers(0, max(1, len(plan.runs)), times)
        long = rng.random(times) * spread.stop_s
        self.stopped = {
            run.id: np.where(stops & (which == number), long, 0.0)
            for number, run in enumerate(plan.runs)
        }

    def _spans(self) -> list[tuple[float, float]]:
        days = [self.asked.week.monday + timedelta(days=n) for n in range(7 + DAYS_AFTER)]
        spans = self.asked.kitchen.staffed_spans(days)
        return [(self._s(span.start), self._s(span.end)) for span in spans]

    def _s(self, at: datetime) -> float:
        return 0.0 if self.begin is None else (at - self.begin).total_seconds()

    def replayed(self, dryer: Dryer, runs: list[Run], buffered: Run | None = None) -> list[Held]:
        """The dryer's runs in order; with everything of the buffered one told an hour later."""
        free: Draws = np.full(self.times, -np.inf)
        held: list[Held] = []
        for run in runs:
            shift = float(BUFFER_S) if run is buffered else 0.0
            start = np.maximum(self._ready(run, shift), free)
            unload = self._unload(dryer, run, start, shift)
            unloaded = unload + (dryer.unload_s if run.unload else 0)
            free = self._free(dryer, run, unloaded)
            held += self._held(_Told(run, start, unloaded, shift))
        return held

    def _ready(self, run: Run, shift: float) -> Draws:
        """The planned start, or when the last rack of the slowest charge is in."""
        ready: Draws = np.full(self.times, self._s(run.start) + shift)
        for charge in run.charges:
            ready = np.maximum(ready, self._racked(charge, shift))
        return ready

    def _racked(self, charge: Charge, shift: float) -> Draws:
        """Late lots are begun later; heavier ones take as much longer to prepare."""
        note, made = self.asked.note(charge.note_id), charge.preparation
        arrives = self._s(note.arrives) + self.late[note.id]
        if made is None:
            return arrives
        waits = np.maximum(0, arrives - self._s(made.wash.start) - shift)
        longer = (made.last_rack - made.wash.start).total_seconds()
        more = np.maximum(0, self.weight[note.id] - 1) * longer
        return self._s(made.last_rack) + shift + waits + more

    def _unload(self, dryer: Dryer, run: Run, start: Draws, shift: float) -> Draws:
        """The run lasts as planned, or as long as its slowest charge needs, and a stop on top."""
        lasts: Draws = np.full(self.times, (run.end - run.start).total_seconds())
        for charge in run.charges:
            card = self.asked.card(self.asked.note(charge.note_id).card_id)
            lasts = np.maximum(lasts, card.drying_s * self.hours[charge.note_id])
        released = self.staffed.next_open(start + lasts + self.stopped[run.id])
        if run.unload is None:
            return np.maximum(released, self._s(run.released) + shift)
        planned = np.maximum(released, self._s(run.unload.start) + shift)
        return self.staffed.room(planned, dryer.unload_s)

    def _free(self, dryer: Dryer, run: Run, unloaded: Draws) -> Draws:
        """After the wash-down, where one is planned, and the rest of the turn-round."""
        staffed = self.staffed.time(unloaded)
        if run.wash_down is not None:
            planned = self.staffed.time(np.array(self._s(run.wash_down.end)))
            staffed = np.maximum(staffed + dryer.wash_down_s, planned)
        rest = dryer.turn_round_s - (dryer.unload_s if run.unload else 0)
        return self.staffed.instant(staffed + rest)

    def _held(self, told: _Told) -> Iterator[Held]:
        run = told.run
        late = told.start - self._s(run.start) - told.shift
        for charge in run.charges:
            note, made = self.asked.note(charge.note_id), charge.preparation
            spoilt = told.start > self._s(note.latest_start) + 1
            past = float(spoilt.mean())
            brought = made.wash.start if made else run.start
            holds = float(((late <= HOLDS_S) & ~spoilt).mean())
            yield Held(note.id, charge.code, "bringing", brought, run.dryer_id, holds, past)
            if charge.after is not None:
                packed = charge.after.packing.start
                behind = self._rested(charge, told.unloaded) - self._s(packed) - told.shift
                in_time = float((behind <= HOLDS_S).mean())
                yield Held(note.id, charge.code, "packing", packed, run.dryer_id, in_time, past)

    def _rested(self, charge: Charge, unloaded: Draws) -> Draws:
        """When it is cooled, checked and rested."""
        limits = self.asked.kitchen.limits
        card = self.asked.card(self.asked.note(charge.note_id).card_id)
        return unloaded + max(limits.cool_s + limits.dry_check_s, card.rest_s)
