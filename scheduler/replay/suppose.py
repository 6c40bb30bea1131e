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
from collections import Counter
from collections.abc import Callable, Generator, Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor, as_completed
from contextlib import closing
from dataclasses import dataclass, replace
from multiprocessing.synchronize import Event
from threading import Thread

from scheduler.domain.asked import Asked
from scheduler.domain.outage import Happened
from scheduler.domain.plan import Plan
from scheduler.domain.promised import Promised
from scheduler.model.climb import STEPS_A_SOLVE_COLD
from scheduler.replay.changes import BY_KEY, Change
from scheduler.replay.fair import fair
from scheduler.replay.laying import Effort, lay_out_quickly, with_reasons
from scheduler.replay.supposed import Supposed, Trial
from scheduler.season.money import PerKg, per_kg
from scheduler.season.records import Posted, Season, WeekRecord

Told = Callable[[int, int, tuple[Trial, ...]], None]


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
    gained = _by_grower(changed, plan)
    gained.subtract(_by_grower(changed, without))
    return Trial(
        plan.week, change.key, seed, without.worth_g, plan.worth_g, left,
        tuple(sorted((who, grams) for who, grams in gained.items() if grams)),
    )  # fmt: skip


def _by_grower(asked: Asked, plan: Plan) -> Counter[str]:
    """Prepared grams placed."""
    placed: Counter[str] = Counter()
    for _, charge in plan.charges():
        placed[asked.note(charge.note_id).grower_id] += charge.prepared_g
    return placed
