"""Suppose for the board: a season's weeks laid out again with one thing changed, over processes.

Both the kitchen as it is and the changed one go on from the plan that was posted, with the same
steps, so that a change which takes nothing away is never worth less than none: the changed kitchen
begins with what the other came to. Weights are prepared grams (goal A). Repeated with several
seeds; how far these lie apart is how sure the answer is.
"""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import dataclass
from statistics import mean, stdev

from scheduler.domain.clock import Week
from scheduler.domain.plan import Plan
from scheduler.replay.changes import BY_KEY, Change
from scheduler.replay.laying import Effort, lay_out_quickly, with_reasons
from scheduler.season.records import Posted, Season
from scheduler.units import Grams

Told = Callable[[int, int], None]


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


def suppose(
    season: Season,
    changes: Iterable[Change],
    *,
    seeds: tuple[int, ...] = (1, 2),
    steps: int = 100,
    workers: int = 2,
    told: Told | None = None,
) -> tuple[Supposed, ...]:
    """Each change over all weeks of the season. told hears how many weeks of how many are done.

    The answer is the same for any number of workers.
    """
    wanted = tuple(changes)
    keys = tuple(each.key for each in wanted)
    tasks = [
        (week.posted[-1], keys, Effort(steps, seed)) for week in season.weeks for seed in seeds
    ]
    trials = [trial for found in _done(tasks, workers, told) for trial in found]
    asked = tuple(week.asked for week in season.weeks)
    return tuple(
        Supposed(
            change,
            change.cost(asked),
            tuple(
                sorted(
                    (each for each in trials if each.change == change.key),
                    key=lambda each: (each.week, each.seed),
                )
            ),
        )
        for change in wanted
    )


Task = tuple[Posted, tuple[str, ...], Effort]


def _done(tasks: list[Task], workers: int, told: Told | None) -> Iterator[list[Trial]]:
    """The answers as they come; heavy weeks first, so that no worker is left with one at the
    end."""
    tasks = sorted(tasks, key=lambda task: -len(task[0].asked.notes))
    if workers <= 1:
        for number, task in enumerate(tasks, 1):
            yield one_week(*task)
            if told:
                told(number, len(tasks))
        return
    context = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(workers, mp_context=context) as pool:
        asked = [pool.submit(one_week, *task) for task in tasks]
        for number, done in enumerate(as_completed(asked), 1):
            yield done.result()
            if told:
                told(number, len(tasks))


def one_week(posted: Posted, keys: tuple[str, ...], effort: Effort) -> list[Trial]:
    """The week as it is, and with each change in turn."""
    asked = posted.asked
    as_it_is = lay_out_quickly(asked, effort, start=posted.plan)
    found = []
    for key in keys:
        changed = BY_KEY[key].made(asked)
        plan = with_reasons(changed, lay_out_quickly(changed, effort, start=as_it_is))
        left = tuple((each.rule, each.prepared_g) for each in plan.waiting)
        found.append(_trial(as_it_is, plan, key, effort=effort, left=left))
    return found


def _trial(
    as_it_is: Plan,
    plan: Plan,
    key: str,
    *,
    effort: Effort,
    left: tuple[tuple[int | None, int], ...],
) -> Trial:
    return Trial(plan.week, key, effort.seed, as_it_is.worth_g, plan.worth_g, left)
