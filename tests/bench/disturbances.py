"""Disturbances of invented weeks, and how they are mended: python -m tests.bench.disturbances

A week is laid out by hand and posted; at some moment something goes wrong; where that leaves
part-lots, something stops under one of them, too. Both mends are verified, and hold at least as
many kg as what of the posted plan still stands. Figures are lines of JSON: one for each that is at
fault, and now and then the distribution of turns moved and seconds so far.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from random import Random
from statistics import quantiles
from typing import Any

from scheduler import prepare
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.mend import Mend, ReLaid
from scheduler.domain.outage import Happened, Outage
from scheduler.domain.plan import Plan
from scheduler.domain.promised import Promised
from scheduler.errors import BrokenPromise
from scheduler.expand import expanded
from scheduler.re_lay import Limits, in_hand, re_laid
from scheduler.re_lay.week import week_of
from scheduler.units import GRID, Grams
from scheduler.verify import verify
from scheduler.weeks import small_kitchen, week
from scheduler.whiteboard import whiteboard
from scheduler.worth import worth

TELLS_EVERY = 20


@dataclass(frozen=True, slots=True)
class Disturbed:
    """A posted plan that meets the day. what: went wrong."""

    what: str
    asked: Asked
    plan: Plan
    now: datetime


def posted(asked: Asked) -> Plan:
    """Laid out by hand."""
    problem = prepare.problem(asked)
    return expanded(asked, problem, whiteboard(problem))


def disturbed(asked: Asked, plan: Plan, rng: Random) -> Disturbed:
    """One thing goes wrong at some moment of the week."""
    first, last = plan.runs[0].start, plan.runs[-1].end
    steps = int((last - first).total_seconds()) // GRID
    now = first - timedelta(hours=2) + timedelta(seconds=GRID * rng.randrange(steps))
    placed = sorted({charge.note_id for _, charge in plan.charges()})
    firm = frozenset(each for each in placed if rng.random() < 2 / 3)
    asked = replace(asked, promised=Promised(plan, firm), happened=Happened(now))
    change = rng.choice([_dryer_stops, _dryer_stops, _station_stops, _weighs, _comes_later, _away])
    return Disturbed(*change(asked, plan, rng), plan, now)


Changed = tuple[str, Asked]


def _now(asked: Asked) -> datetime:
    assert asked.happened.now
    return asked.happened.now


def _dryer_stops(asked: Asked, plan: Plan, rng: Random) -> Changed:
    running = [run.dryer_id for run in plan.runs if run.start <= _now(asked) < run.end]
    every = [dryer.id for dryer in asked.kitchen.dryers]
    return "dryer", _stopped(asked, rng.choice(running or every), rng)


def stopped_again(case: Disturbed, found: ReLaid, rng: Random) -> Disturbed | None:
    """Once the small change is posted, one of the stations stops that part-lots dry on in or are
    kept cold in; None where there are none."""
    plan = found.small.plan
    places = [
        (on.dryer_id, on.start, on.end) for each in plan.part_lots if (on := each.dries_on)
    ] + [
        (held.station_id, held.since, held.until or held.since + timedelta(hours=6))
        for each in plan.part_lots
        if (held := each.held)
    ]
    if not places:
        return None
    station_id, start, end = rng.choice(sorted(places))
    steps = int((end - start).total_seconds()) // GRID
    now = start + timedelta(seconds=GRID * rng.randrange(max(1, steps)))
    stop = Outage(station_id, now, None, "demo")
    known = in_hand(case.asked, case.plan, case.now, plan.part_lots).happened
    happened = replace(known, now=now, outages=(*known.outages, stop))
    promised = replace(case.asked.promised, plan=plan)
    asked = replace(case.asked, happened=happened, promised=promised)
    return Disturbed("second stop", asked, plan, now)


def _station_stops(asked: Asked, plan: Plan, rng: Random) -> Changed:
    dryers = {dryer.id for dryer in asked.kitchen.dryers}
    return "station", _stopped(asked, rng.choice(sorted(asked.kitchen.station_ids - dryers)), rng)


def _stopped(asked: Asked, station_id: str, rng: Random) -> Asked:
    now = _now(asked)
    back = now + timedelta(hours=rng.choice([1, 6, 24, 48])) if rng.random() < 3 / 4 else None
    stop = Outage(station_id, now, back, "demo")
    return replace(asked, happened=replace(asked.happened, outages=(stop,)))


def _to_come(asked: Asked, plan: Plan, rng: Random) -> str | None:
    begun = {
        charge.note_id
        for run, charge in plan.charges()
        if charge.preparation is None or charge.preparation.wash.start < _now(asked)
    }
    notes = [each.id for each in asked.notes if each.id not in begun]
    return rng.choice(notes) if notes else None


def _note(asked: Asked, note_id: str, **changes: Any) -> Asked:
    notes = (replace(n, **changes) if n.id == note_id else n for n in asked.notes)
    return replace(asked, notes=tuple(notes))


def _weighs(asked: Asked, plan: Plan, rng: Random) -> Changed:
    note_id = _to_come(asked, plan, rng)
    if note_id is None:
        return "nothing", asked
    percent = rng.choice([70, 85, 115, 130])
    field_g = Grams(asked.note(note_id).field_g * percent // 100)
    return "weight", _note(asked, note_id, field_g=field_g)


def _comes_later(asked: Asked, plan: Plan, rng: Random) -> Changed:
    note_id = _to_come(asked, plan, rng)
    if note_id is None:
        return "nothing", asked
    late, note = timedelta(hours=rng.choice([1, 3, 24])), asked.note(note_id)
    changes = {"arrives": note.arrives + late, "latest_start": note.latest_start + late}
    return "later", _note(asked, note_id, **changes)


def _away(asked: Asked, plan: Plan, rng: Random) -> Changed:
    now, gone = _now(asked), rng.choice(asked.growers).id
    span = Span(now, now + timedelta(hours=rng.choice([4, 24])))
    growers = (replace(g, away=(*g.away, span)) if g.id == gone else g for g in asked.growers)
    return "away", replace(asked, growers=tuple(growers))


def faults_of(case: Disturbed, found: ReLaid) -> Iterator[str]:
    """What is wrong with the mends: rules broken, or fewer kg than what still stands."""
    for name, mend in (("small", found.small), ("whole", found.whole)):
        if mend is None:
            continue
        asked = in_hand(case.asked, case.plan, case.now, mend.plan.part_lots)
        yield from (f"{name}: {fault.rule} {fault.message}" for fault in verify(asked, mend.plan))
        made = week_of(asked, case.now, ())
        stands = worth(made.problem, made.whole.firm.draft)
        if mend.worth_g < stands:
            yield f"{name}: {mend.worth_g} g, {stands} g still stood"


def cases(count: int, *, small: bool, first: int = 1) -> Iterator[Disturbed]:
    """So many disturbances, each of a week of its own, by seeds from the first on."""
    seed = first - 1
    while count:
        seed += 1
        try:
            asked = small_kitchen(seed) if small else week(seed)
        except ValueError:  # such lots do not come to a week
            continue
        plan = posted(asked)
        if plan.runs:
            count -= 1
            yield disturbed(asked, plan, Random(seed))


def _moved(mend: Mend) -> int:
    return sum(each.was is not None for each in mend.moves)


def _spread(values: list[float]) -> dict[str, float]:
    ranked = quantiles(values, n=20) if len(values) > 1 else values * 19
    return {
        "median": round(ranked[9], 2),
        "p95": round(ranked[18], 2),
        "most": round(max(values), 2),
    }


@dataclass(slots=True)
class Figures:
    """What has been measured so far."""

    kinds: Counter[str] = field(default_factory=Counter)
    small_moved: list[float] = field(default_factory=list)
    whole_moved: list[float] = field(default_factory=list)
    seconds: list[float] = field(default_factory=list)
    at_fault: int = 0
    more_g: int = 0

    def add(self, case: Disturbed, found: ReLaid, seconds: float) -> None:
        self.kinds[case.what] += 1
        self.seconds.append(seconds)
        self.small_moved.append(_moved(found.small))
        if found.whole:
            self.whole_moved.append(_moved(found.whole))
            self.more_g += found.whole.worth_g - found.small.worth_g
        faults = list(faults_of(case, found))
        self.at_fault += bool(faults)
        if faults:
            told({"week": case.asked.name, "what": case.what, "faults": faults})

    def broken(self, case: Disturbed, error: BrokenPromise) -> None:
        """No mend at all."""
        self.kinds[case.what] += 1
        self.at_fault += 1
        told({"week": case.asked.name, "what": case.what, "faults": [str(error)]})

    def tell(self) -> None:
        spreads = {
            "turns moved, small": self.small_moved,
            "turns moved, whole": self.whole_moved,
            "seconds of processor": self.seconds,
        }
        told(
            {"disturbances": sum(self.kinds.values()), "of": dict(self.kinds)}
            | {"at fault": self.at_fault, "kg more by the whole week": self.more_g / 1000}
            | {name: _spread(values) for name, values in spreads.items() if values}
        )


def told(figures: dict[str, Any]) -> None:
    sys.stdout.write(json.dumps(figures) + "\n")
    sys.stdout.flush()


def _mended(case: Disturbed, limits: Limits, figures: Figures) -> ReLaid | None:
    begin = time.process_time()
    try:
        found = re_laid(case.asked, case.plan, case.now, limits=limits)
    except BrokenPromise as error:
        figures.broken(case, error)
        return None
    figures.add(case, found, time.process_time() - begin)
    return found


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--count", type=int, default=500)
    asked.add_argument("--small", action="store_true", help="tiny kitchens instead of weeks")
    asked.add_argument("--first", type=int, default=1, help="the seed to begin with")
    asked.add_argument("--work", type=float, default=0.3)
    said, figures = asked.parse_args(), Figures()
    limits = Limits(seconds=None, work=said.work, workers=1)
    weeks = cases(said.count, small=said.small, first=said.first)
    for number, case in enumerate(weeks, 1):
        found = _mended(case, limits, figures)
        again = stopped_again(case, found, Random(number)) if found else None
        if again is not None:
            _mended(again, limits, figures)
        if number % TELLS_EVERY == 0 or number == said.count:
            figures.tell()


if __name__ == "__main__":
    main()
