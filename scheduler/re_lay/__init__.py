"""A plan that meets the day is mended: worth first, then the fewest and smallest moves.

A small change first, which takes off and puts back only what can no longer stay, or must make room
for a turn of short notice; then the whole later week. Both are offered, with who moves from when
to when and why.
"""

from __future__ import annotations

import time
from collections.abc import Collection, Iterable, Iterator
from dataclasses import replace
from datetime import datetime

from scheduler.domain.asked import Asked
from scheduler.domain.mend import ReLaid
from scheduler.domain.part_lot import PartLot
from scheduler.domain.plan import Plan
from scheduler.emergency import asked_in_hand, proposals, stopped_stations, waits_g, with_parts
from scheduler.errors import BrokenPromise
from scheduler.model import search
from scheduler.model.climb import Budget
from scheduler.model.search import ROUND_STEPS, Limits
from scheduler.re_lay.aside import Second, second
from scheduler.re_lay.early import early_first
from scheduler.re_lay.mend import Course, mended, offered
from scheduler.re_lay.small import Small, by_hand, improved
from scheduler.re_lay.week import Week, week_of
from scheduler.worth import worth

__all__ = ["Limits", "in_hand", "re_laid"]

SECONDS = 8.0
SMALL_SHARE, MOST_SMALL_S = 0.1, 2.0  # of the time, for climbing with the small change
OPTIONS_SHARE = 0.2  # of the time, for trying where part-lots go
EARLY_SHARE = 0.4  # of the time, for turns of short notice that later ones could make room for
COOL = 0.1  # a climber in this process gives up little on its way
CREW_S = 20.0
AFTER_S = 0.8  # kept for writing out and verifying what is found


def in_hand(asked: Asked, plan: Plan, now: datetime, parts: tuple[PartLot, ...] = ()) -> Asked:
    """What a mend is asked, and verified against: the plan in hand with its part-lots."""
    return asked_in_hand(asked, with_parts(plan, parts), now)


def re_laid(
    asked: Asked,
    plan: Plan,
    now: datetime,
    *,
    limits: Limits | None = None,
    moved_before: Collection[str] = (),
    part_lots: tuple[PartLot, ...] | None = None,
) -> ReLaid:
    """Both mends of a posted plan at a moment (rules 18 to 20), verified.

    asked: notes as they ask now, what happened, what is firm and taken. moved_before: growers that
    an earlier mend has moved. part_lots: what a person chose; the best of what is proposed where
    none is given. BrokenPromise where not even what stays can be planned.
    """
    begin, limits = time.monotonic(), limits or Limits(seconds=SECONDS)
    options = iter([part_lots]) if part_lots is not None else _options(asked, plan, now)
    with second(limits) as beside:
        week, small = _best(
            (in_hand(asked, plan, now, each) for each in options), now, moved_before, limits=limits
        )
        ways = [Small(week.whole, week.whole.firm.draft), small]
        ways.append(improved(small, _budget(limits), limits.seed))
        most = None if limits.seconds is None else EARLY_SHARE * limits.seconds
        small = early_first(week, ways[-1], seconds=most, seed=limits.seed)
        least = mended(week, [small, *reversed(ways)], Course("small", begin))
        left = None if limits.seconds is None else _left(limits.seconds, begin)
        found, bound_g = _whole(week, small, replace(limits, seconds=left), beside)
    if found is None:
        return offered(week, least, None)
    try:
        return offered(week, least, mended(week, [found], Course("whole", begin, bound_g)))
    except BrokenPromise:  # hands or places by name do not suffice: the small change stands
        return offered(week, least, None)


def _best(
    options: Iterable[Asked], now: datetime, moved_before: Collection[str], *, limits: Limits
) -> tuple[Week, Small]:
    """The way of part-lots that leaves the best small change, found by hand, their waiting
    counted; the first if others would take too long."""
    begin, best, most = time.monotonic(), None, 0
    for asked in options:
        week = week_of(asked, now, moved_before, like=best[0] if best else None)
        small = by_hand(week)
        gained = small.value - waits_g(week.plan.part_lots)
        if best is None or gained > most:
            best, most = (week, small), gained
        if limits.seconds and time.monotonic() - begin > OPTIONS_SHARE * limits.seconds:
            break
    assert best is not None
    return best


def _options(asked: Asked, plan: Plan, now: datetime) -> Iterator[tuple[PartLot, ...]]:
    """Part-lots of every stopped dryer: the proposals of the first, the best of the others."""
    stations = stopped_stations(asked, plan, now)
    if not stations:
        yield ()
    for parts in proposals(asked, plan, stations[0], now) if stations else ():
        made = parts
        for station_id in stations[1:]:
            made += next(proposals(asked, with_parts(plan, made), station_id, now), ())
        yield made


def _budget(limits: Limits) -> Budget:
    if limits.work is not None:
        return Budget(None, ROUND_STEPS, 0.0)
    seconds = SECONDS if limits.seconds is None else limits.seconds
    return Budget(min(MOST_SMALL_S, SMALL_SHARE * seconds), None, 0.0)


def _left(seconds: float, begin: float) -> float:
    return seconds + begin - time.monotonic() - AFTER_S


def _whole(
    week: Week, small: Small, limits: Limits, beside: Second
) -> tuple[Small | None, int | None]:
    """The later week laid out anew beside what is under way, at no less worth and with no more
    turns of short notice moved; None where there is no time left or nothing better. Beside it the
    bound, where one is proved. Short times, and one worker, are spent in this process and the
    second: others would hardly have begun.
    """
    if limits.work is None and limits.seconds is not None and limits.seconds <= 0:
        return None, None
    problem = week.held(week.going, worth(week.problem, small.draft))
    if limits.workers > 1 and (limits.seconds is None or limits.seconds >= CREW_S):
        found = search.run(problem, replace(limits, start=small.draft))
        return None if found.draft == small.draft else Small(problem, found.draft), found.bound_g
    seconds, work = limits.seconds, limits.work
    steps = None if work is None else round(ROUND_STEPS * work)
    begun = Small(problem, small.draft)
    climbed = beside.improved(begun, Budget(None if steps else seconds, steps, COOL), limits.seed)
    return None if climbed.draft == small.draft else climbed, None
