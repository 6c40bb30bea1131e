"""The demo's season: invented harvests laid out week by week, and what may have come of the plans.

Deterministic by seed. Chance decides, at demo rates: how far weights, arrivals and drying hours are
off, which lots are held at their dry check (23 of 458 in the demo scenario's season), who does not
come, and which dryers stop. All else is what the planner and the records come to.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from datetime import time, timedelta
from random import Random

from scheduler.domain.asked import Asked
from scheduler.domain.clock import local_instant
from scheduler.domain.outage import Happened, Outage
from scheduler.domain.promised import Promised, Taken
from scheduler.ledger import WEEKS, Record, in_turn, ledger, records
from scheduler.replay.happened import happened
from scheduler.replay.harvests import weeks_of
from scheduler.replay.laying import Effort, lay_out_quickly, with_reasons
from scheduler.scenario import load
from scheduler.season import counts
from scheduler.season.money import per_kg
from scheduler.season.records import Posted, Season, WeekRecord
from scheduler.turns import taken_by

STOPS = ((20, "D1", 30), (32, "D3", 26), (40, "D2", 12))  # week of the year, dryer, hours (demo)
FIXED = 900_000  # of a season, minor units; demo
Told = Callable[[str], None]


@dataclass
class _Chain:
    """What the weeks so far leave behind for the next: whose turn it is, and the Monday's work.

    before: the last of them."""

    rng: Random
    effort: Effort
    past: list[Record] = field(default_factory=list)
    before: Posted | None = None

    def week(self, asked: Asked) -> WeekRecord:
        promised = Promised(taken=tuple(self._monday(asked)))
        asked = replace(asked, happened=Happened(outages=_stops(asked)), promised=promised)
        weeks = sorted({each.week for each in self.past})[-WEEKS:]
        lines = ledger(asked.growers, (each for each in self.past if each.week in weeks))
        asked = in_turn(asked, lines)
        plan = with_reasons(asked, lay_out_quickly(asked, self.effort))
        self.past += records(asked, plan)
        self.before = Posted(asked, plan)
        return happened(self.before, self.rng)

    def _monday(self, asked: Asked) -> Iterator[Taken]:
        """What the week before, where it is the one before, has promised for this one."""
        monday = local_instant(asked.week.monday, time(), asked.kitchen.zone)
        if self.before is None:
            return
        plan = self.before.plan
        placed = {charge.note_id for _, charge in plan.charges()}
        for each in taken_by(self.before.asked, plan, placed, at=monday):
            if each.span.end > monday:
                yield each


def invented_season(
    seed: int = 1, *, steps: int = 150, weeks: int | None = None, told: Told | None = None
) -> Season:
    """April to November in the bundled august kitchen; weeks: so many from the first alone.

    told hears of every week as it is laid out.
    """
    asked_for = weeks_of(load("august"), seed)[:weeks]
    chain = _Chain(Random(seed), Effort(steps, seed))
    found = []
    for number, asked in enumerate(asked_for, 1):
        if told:
            told(f"Laying out {asked.week} ({number} of {len(asked_for)})")
        found.append(chain.week(asked))
    season = Season(
        name="season",
        first=found[0].week.days[0],
        last=found[-1].week.days[-1],
        weeks=tuple(found),
        invented=True,
        seed=seed,
        notes=(
            f"An invented season (seed {seed}): harvests and happenings are drawn by chance, the"
            " plans are laid out for them. Nothing here is anybody's figure.",
        ),
    )
    return replace(season, costs=_costs(season))


def _stops(asked: Asked) -> tuple[Outage, ...]:
    """Known when the week is laid out, as for a repair; Tuesday 08:00 on."""
    start = local_instant(asked.week.days[1], time(8), asked.kitchen.zone)
    return tuple(
        Outage(dryer_id, start, start + timedelta(hours=hours), "repair (invented)")
        for number, dryer_id, hours in STOPS
        if asked.week.number == number
    )


def _costs(season: Season) -> int:
    """What the kitchen itself paid, in minor units (demo): hands for their named work, energy,
    fixed costs. The rest of the hands' shifts is taken to be paid by others."""
    spent, prepared_g = per_kg(season), counts.prepared_and_dried(season)[1]
    return spent.hands(prepared_g) + spent.electricity(prepared_g) + FIXED
