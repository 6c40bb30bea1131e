"""Suppose for the board: a season's weeks laid out again with one thing changed, over processes.

The kitchen as it is and the changed one go on from the same plan with the same further steps, so
that what the search finds by going on is credited to neither: a change that changes nothing saves
nothing. What is found in one counts in the other where it breaks no rule there (`fair`), so that a
station more never saves less than none. Weights are prepared grams (goal A). Repeated with several
seeds; how far these lie apart is how sure the answer is.
"""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import dataclass, replace
from statistics import mean, stdev

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.outage import Happened
from scheduler.domain.plan import Plan
from scheduler.domain.promised import Promised
from scheduler.replay.changes import BY_KEY, Change
from scheduler.replay.fair import fair
from scheduler.replay.laying import Effort, lay_out_quickly, with_reasons
from scheduler.season.records import Posted, Season
from scheduler.units import Grams


@dataclass(frozen=True, slots=True)
class Trial:
    """One week with one change and one seed: prepared grams placed without and with it, and those
    left waiting with it, by the rule that costs them."""

    week: Week
    change: str
    seed: int
    without_g: int
    with_g: int
    left: tuple[tuple[int | None, int], ...]

    @property
    def saved_g(self) -> int:
        return self.with_g - self.without_g


Told = Callable[[int, int, tuple[Trial, ...]], None]


@dataclass(frozen=True, slots=True)
class Supposed:
    """What a change comes to over the season. trials: every week with every seed."""

    change: Change
    cost: int
    trials: tuple[Trial, ...]

    @property
    def by_seed(self) -> tuple[int, ...]:
        """Prepared grams saved over all weeks, a figure for each seed."""
        seeds = sorted({each.seed for each in self.trials})
        return tuple(
            sum(each.saved_g for each in self.trials if each.seed == seed) for seed in seeds
        )

    @property
    def saved_g(self) -> Grams:
        """The mean over the seeds."""
        return Grams(round(mean(self.by_seed)))

    @property
    def without_g(self) -> Grams:
        """Prepared grams placed without it over all weeks, the mean over the seeds."""
        seeds = {each.seed for each in self.trials}
        return Grams(round(sum(each.without_g for each in self.trials) / len(seeds)))

    @property
    def cost_per_kg(self) -> int | None:
        """Minor units for each kg saved; None where none is."""
        return None if self.saved_g <= 0 else round(self.cost * 1000 / self.saved_g)

    @property
    def weeks_helped(self) -> int:
        """Weeks in which it saves something with every seed."""
        weeks = {each.week for each in self.trials}
        return sum(
            all(each.saved_g > 0 for each in self.trials if each.week == week) for week in weeks
        )

    @property
    def give_or_take_g(self) -> int:
        """Standard deviation between the seeds; 0 where there is one alone."""
        return round(stdev(self.by_seed)) if len(self.by_seed) > 1 else 0

    @property
    def binds(self) -> int | None:
        """The rule that costs most of what still waits; None where it is not known."""
        left: dict[int | None, int] = {}
        for each in self.trials:
            for rule, grams in each.left:
                left[rule] = left.get(rule, 0) + grams
        known = {rule: grams for rule, grams in left.items() if rule is not None}
        return max(known, key=lambda rule: known[rule]) if known else None


@dataclass(frozen=True, slots=True)
class Tries:
    """How each week is tried: with every seed, so many steps, over so many processes."""

    seeds: tuple[int, ...] = (1, 2)
    steps: int = 100
    workers: int = 2


def suppose(
    season: Season,
    changes: Iterable[Change],
    tries: Tries = Tries(),
    *,
    told: Told | None = None,
    known: Iterable[Trial] = (),
) -> tuple[Supposed, ...]:
    """Each change over all weeks of the season.

    told hears how many tries of weeks of how many are done, and of all trials so far; what it
    raises ends the work. known: trials of before, with the same steps. The answer is the same for
    any number of workers.
    """
    wanted = tuple(changes)
    keys = tuple(each.key for each in wanted)
    every = [
        (week.posted[-1], keys, Effort(tries.steps, seed))
        for week in season.weeks
        for seed in tries.seeds
    ]
    trials = [each for each in known if each.change in keys]
    tasks = [each for each in every if not _is_known(each, trials)]
    if told:
        told(len(every) - len(tasks), len(every), tuple(trials))
    for number, found in enumerate(_done(tasks, tries.workers), 1 + len(every) - len(tasks)):
        trials += found
        if told:
            told(number, len(every), tuple(trials))
    asked = tuple(week.asked for week in season.weeks)
    return tuple(_supposed(each, asked, trials) for each in wanted)


def _supposed(change: Change, weeks: tuple[Asked, ...], trials: Iterable[Trial]) -> Supposed:
    own = (each for each in trials if each.change == change.key)
    in_order = tuple(sorted(own, key=lambda each: (each.week, each.seed)))
    return Supposed(change, change.cost(weeks), in_order)


Task = tuple[Posted, tuple[str, ...], Effort]


def _is_known(task: Task, trials: Iterable[Trial]) -> bool:
    posted, keys, effort = task
    week = posted.asked.week
    known = {each.change for each in trials if (each.week, each.seed) == (week, effort.seed)}
    return known >= set(keys)


def _done(tasks: list[Task], workers: int) -> Iterator[list[Trial]]:
    """The answers as they come; heavy weeks first, so that no worker is left with one at the
    end."""
    tasks = sorted(tasks, key=lambda task: -len(task[0].asked.notes))
    if workers <= 1:
        for task in tasks:
            yield one_week(*task)
        return
    context = multiprocessing.get_context("spawn")
    pool = ProcessPoolExecutor(workers, mp_context=context)
    try:
        asked = [pool.submit(one_week, *task) for task in tasks]
        for done in as_completed(asked):
            yield done.result()
    finally:
        pool.shutdown(cancel_futures=True)  # whoever hears of it may end the work


def one_week(posted: Posted, keys: tuple[str, ...], effort: Effort) -> list[Trial]:
    """The week as it is, and with each change in turn, all from the same start."""
    asked = _unbegun(posted.asked)
    posted = replace(posted, asked=asked)
    changes = [BY_KEY[key] for key in keys]
    starts = {
        afresh: None if afresh else lay_out_quickly(asked, effort, start=posted.plan)
        for afresh in {each.afresh for each in changes}
    }
    without = {
        afresh: lay_out_quickly(asked, effort, start=start) for afresh, start in starts.items()
    }
    return [
        _trial(posted, change, effort, without=without[change.afresh], start=starts[change.afresh])
        for change in changes
    ]


def _unbegun(asked: Asked) -> Asked:
    """As before anything of it began or was promised, which would be in the way of every change;
    stops stay."""
    return replace(asked, promised=Promised(), happened=Happened(outages=asked.happened.outages))


def _trial(
    posted: Posted, change: Change, effort: Effort, *, without: Plan, start: Plan | None
) -> Trial:
    changed = change.made(posted.asked)
    found = lay_out_quickly(changed, effort, start=start)
    without, plan = fair(posted.asked, without, changed=changed, with_it=found)
    plan = with_reasons(changed, plan)
    left = tuple((each.rule, each.prepared_g) for each in plan.waiting)
    return Trial(plan.week, change.key, effort.seed, without.worth_g, plan.worth_g, left)
