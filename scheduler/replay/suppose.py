"""Suppose for the board: a season's weeks laid out again with one thing changed, over processes.

The kitchen as it is and the changed one go on from the same plan with the same further steps, so
that what the search finds by going on is credited to neither: a change that changes nothing saves
nothing. What is found in one counts in every other where it breaks no rule there (`fair`), so that
a station more never saves less than none. Weights are prepared grams (goal A). Repeated with
several seeds; how far these lie apart is how sure the answer is. Another order has no plans of its
own: there, two searches from nothing are set side by side.
"""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Callable, Generator, Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor, as_completed
from contextlib import closing
from dataclasses import dataclass, replace
from multiprocessing.synchronize import Event
from statistics import mean, stdev
from threading import Thread

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.outage import Happened
from scheduler.domain.plan import Plan
from scheduler.domain.promised import Promised
from scheduler.model.climb import STEPS_A_SOLVE_COLD
from scheduler.replay.changes import BY_KEY, Change
from scheduler.replay.fair import fair
from scheduler.replay.laying import Effort, lay_out_quickly, with_reasons
from scheduler.season.money import NOTHING, PerKg, per_kg
from scheduler.season.records import Posted, Season, WeekRecord
from scheduler.units import Grams

HALF_A_KG = 500  # less is told as 0 kg


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
    """What a change comes to over the season. cost: what it takes to have it, in minor units;
    trials: every week with every seed; spent: what the season's kilograms took."""

    change: Change
    cost: int
    trials: tuple[Trial, ...]
    spent: PerKg = NOTHING

    @property
    def by_seed(self) -> tuple[int, ...]:
        """Prepared grams saved over all weeks, a figure for each seed."""
        seeds = sorted({each.seed for each in self.trials})
        return tuple(
            sum(each.saved_g for each in self.trials if each.seed == seed) for seed in seeds
        )

    @property
    def saved_g(self) -> Grams:
        """The mean over the seeds; 0 where no week was tried."""
        return Grams(round(mean(self.by_seed or (0,))))

    @property
    def without_g(self) -> Grams:
        """Prepared grams placed without it over all weeks, the mean over the seeds."""
        seeds = {each.seed for each in self.trials}
        return Grams(round(sum(each.without_g for each in self.trials) / (len(seeds) or 1)))

    @property
    def waited_g(self) -> Grams:
        """Prepared grams without a place without it, the mean over the seeds."""
        left = sum(grams for each in self.trials for _, grams in each.left)
        return Grams(self.saved_g + round(left / (len(self.by_seed) or 1)))

    @property
    def weeks(self) -> int:
        return len({each.week for each in self.trials})

    @property
    def electricity(self) -> int:
        """Of what is saved, in minor units."""
        return self.spent.electricity(max(0, self.saved_g))

    @property
    def hands(self) -> int:
        """Their work by name on what is saved, in minor units; 0 where its shifts pay for it."""
        return 0 if self.change.paid else self.spent.hands(max(0, self.saved_g))

    @property
    def total(self) -> int:
        """To have it and to run it, in minor units."""
        return self.cost + self.electricity + self.hands

    @property
    def cost_per_kg(self) -> int | None:
        """Minor units for each kg saved; None where less than half of one is."""
        return None if self.saved_g < HALF_A_KG else round(self.total * 1000 / self.saved_g)

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
    """How each week is tried: with every seed, so many steps, over so many processes.

    Of 100 steps the two large neighbourhoods, from the fortieth step on, take four fifths of the
    time: more tries without them tell more, for they say how far tries lie apart.
    """

    seeds: tuple[int, ...] = (1, 2)
    steps: int = STEPS_A_SOLVE_COLD - 1
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
    keys = tuple(dict.fromkeys(each.of_trials for each in wanted))
    every = [
        (week.posted[-1], keys, Effort(tries.steps, seed))
        for week in season.weeks
        for seed in tries.seeds
    ]
    asked_for = {(posted.asked.week, effort.seed) for posted, _, effort in every}
    trials = [each for each in known if each.change in keys and (each.week, each.seed) in asked_for]
    tasks = [each for each in every if not _is_known(each, trials)]
    if told:
        told(len(every) - len(tasks), len(every), tuple(trials))
    with closing(_done(tasks, tries.workers)) as answers:
        for number, found in enumerate(answers, 1 + len(every) - len(tasks)):
            trials += found
            if told:
                told(number, len(every), tuple(trials))
    spent = per_kg(season)
    return tuple(_supposed(each, season, trials, spent) for each in wanted)


def part_done(season: Season, tries: Tries, trials: Iterable[Trial]) -> float:
    """Of the work of all tries, from 0 to 1: it grows with the square of a week's notes, and is
    little where all of them have a place."""
    work = {each.week: _work(each.posted[-1]) for each in season.weeks}
    done = {(each.week, each.seed) for each in trials if each.seed in tries.seeds}
    return sum(work.get(week, 0) for week, _ in done) / (sum(work.values()) * len(tries.seeds))


def _work(posted: Posted) -> int:
    notes = len(posted.asked.notes)
    return 1 + notes * (notes if posted.plan.waiting else 1)


def _supposed(change: Change, season: Season, trials: Iterable[Trial], spent: PerKg) -> Supposed:
    weeks = tuple(week for week in season.weeks if not change.tried_as or _was_full(week))
    of = {week.week for week in weeks}
    own = (each for each in trials if each.change == change.of_trials and each.week in of)
    in_order = tuple(sorted(own, key=lambda each: (each.week, each.seed)))
    return Supposed(change, change.cost(tuple(week.asked for week in weeks)), in_order, spent)


def _was_full(week: WeekRecord) -> bool:
    """Whether something had no place in the last plan posted."""
    return bool(week.posted[-1].plan.waiting)


Task = tuple[Posted, tuple[str, ...], Effort]


def _is_known(task: Task, trials: Iterable[Trial]) -> bool:
    posted, keys, effort = task
    week = posted.asked.week
    known = {each.change for each in trials if (each.week, each.seed) == (week, effort.seed)}
    return known >= set(keys)


def _done(tasks: list[Task], workers: int) -> Generator[list[Trial], None, None]:
    """The answers as they come; heavy weeks first, so that no worker is left with one at the
    end."""
    tasks = sorted(tasks, key=lambda task: -len(task[0].asked.notes))
    if workers <= 1:
        for task in tasks:
            yield one_week(*task)
        return
    context = multiprocessing.get_context("spawn")
    ending = context.Event()
    pool = ProcessPoolExecutor(
        workers, mp_context=context, initializer=_end_with, initargs=(os.getpid(), ending)
    )
    try:
        asked = [pool.submit(one_week, *task) for task in tasks]
        for done in as_completed(asked):
            yield done.result()
    except BaseException:  # whoever hears of it may end the work, and waits for no week in hand
        ending.set()
        raise
    finally:
        pool.shutdown(cancel_futures=True)


def _end_with(parent: int, ending: Event) -> None:
    """A process that ends takes its helpers with it, in the middle of a week or at rest."""

    def watch() -> None:
        while os.getppid() == parent and not ending.wait(1):
            pass
        os._exit(1)

    Thread(target=watch, daemon=True).start()


def one_week(posted: Posted, keys: tuple[str, ...], effort: Effort) -> list[Trial]:
    """The week as it is, and with each change in turn, all from the same start."""
    posted = replace(posted, asked=_unbegun(posted.asked))
    changes = [BY_KEY[key] for key in keys]
    beside = [each for each in changes if not each.afresh]
    afresh = [each for each in changes if each.afresh]
    return [*_beside(posted, beside, effort), *_afresh(posted, afresh, effort)]


def _unbegun(asked: Asked) -> Asked:
    """As before anything of it began or was promised, which would be in the way of every change;
    stops stay, and what the weeks beside it have taken."""
    beside = () if asked.happened.runs else asked.promised.taken
    promised = Promised(taken=beside)
    return replace(asked, promised=promised, happened=Happened(outages=asked.happened.outages))


def _beside(posted: Posted, changes: list[Change], effort: Effort) -> Iterator[Trial]:
    """All from the posted plan."""
    if not changes:
        return
    asked = posted.asked
    start = lay_out_quickly(asked, effort, start=posted.plan)
    without = lay_out_quickly(asked, effort, start=start)
    weeks = [(asked, without)]
    for each in changes:
        changed = each.made(asked)
        weeks.append((changed, lay_out_quickly(changed, effort, start=start)))
    best = fair(weeks)
    for each, (changed, _), plan in zip(changes, weeks[1:], best[1:], strict=True):
        yield _trial(each, changed, plan, without=best[0], seed=effort.seed)


def _afresh(posted: Posted, changes: list[Change], effort: Effort) -> Iterator[Trial]:
    """All from nothing, and each its own: what breaks no rule in one order breaks none in another,
    so that the better of both would be the same for both."""
    if not changes:
        return
    without = lay_out_quickly(posted.asked, effort)
    for each in changes:
        changed = each.made(posted.asked)
        plan = lay_out_quickly(changed, effort)
        yield _trial(each, changed, plan, without=without, seed=effort.seed)


def _trial(change: Change, changed: Asked, plan: Plan, *, without: Plan, seed: int) -> Trial:
    left = tuple((each.rule, each.prepared_g) for each in with_reasons(changed, plan).waiting)
    return Trial(plan.week, change.key, seed, without.worth_g, plan.worth_g, left)
