"""Parallel batching machines with families and sizes, through the same builder, by brute force.

Jobs are lots under the easier rules: a size in racks, a family's hours, a release and a due start;
machines are dryers. Brute force goes over every way to give jobs to batches in an order on each
machine, each batch starting as soon as it may; it shares nothing with the model but the input.
"""

from __future__ import annotations

from datetime import timedelta
from itertools import permutations

import pytest

from scheduler.domain.asked import Asked
from scheduler.domain.rules import SIMPLE
from scheduler.model.build import build_model
from scheduler.model.objective import add_objective
from scheduler.model.solve import Effort, solved
from scheduler.prepare import problem
from scheduler.problem import Lot, Problem
from scheduler.units import Grams, Racks
from scheduler.whiteboard.board import Board
from scheduler.whiteboard.calendars import Calendars
from scheduler.worth import worth
from tests import builders
from tests.builders import WEEK, at, hours, weekly

FAMILIES = {"long": ("mild", 5), "short": ("mild", 3), "strong": ("strong", 4)}
# racks, family, arrives (clock of Monday), hours until the latest start; demo
CASES = {
    "one machine, one day": (
        1,
        [(6, "long", "07:00", 9), (5, "short", "07:00", 9), (9, "strong", "07:00", 3)],
    ),
    "sharing pays": (
        1,
        [
            (4, "short", "07:00", 2),
            (4, "long", "08:00", 1),
            (8, "strong", "07:00", 4),
            (3, "short", "09:00", 5),
        ],
    ),
    "two machines": (
        2,
        [
            (10, "long", "07:00", 2),
            (9, "strong", "07:00", 1),
            (8, "short", "07:00", 1),
            (5, "strong", "10:00", 4),
            (4, "long", "08:00", 5),
        ],
    ),
    "families do not mix": (
        2,
        [
            (3, "short", "07:00", 1),
            (3, "strong", "07:00", 1),
            (3, "long", "07:00", 1),
            (3, "strong", "08:00", 6),
        ],
    ),
}


def asked_for(machines: int, jobs: list[tuple[int, str, str, int]]) -> Asked:
    """A kitchen open all Monday from 07:00 to 19:00 with dryers of ten racks."""
    cards = tuple(
        builders.card(
            name,
            group=group,
            drying_s=hours(length),
            set_point_c=57.0,
            trim_loss_percent=0.0,
            steam_s=hours(0),
            pair_g_per_h=Grams(10_000_000),
        )
        for name, (group, length) in FAMILIES.items()
    )
    kitchen = builders.kitchen(
        staffed=weekly("Mon", "07:00", "19:00"),
        dryers=tuple(
            builders.dryer(f"D{m}", racks=Racks(10), groups=frozenset({"mild", "strong"}))
            for m in range(machines)
        ),
    )
    rack_g = cards[0].g_per_m2 * kitchen.dryers[0].rack_area_cm2 // 10_000
    notes = tuple(
        builders.note(
            f"J{n}",
            "G1",
            family,
            racks * rack_g,
            arrives=at(f"Mon {clock}"),
            latest_start=at(f"Mon {clock}") + timedelta(hours=due),
        )
        for n, (racks, family, clock, due) in enumerate(jobs)
    )
    return Asked("batches", "Batches", kitchen, WEEK, cards, (builders.grower("G1"),), notes)


def most_by_brute_force(week: Problem) -> int:
    """The most worth that any set of jobs can have, each whole in one batch or in equal parts."""
    return _BruteForce(week).most()


class _BruteForce:
    """Every way to give jobs to up to three batches on each machine."""

    def __init__(self, week: Problem) -> None:
        self.week, self.best = week, 0
        self.machines: list[list[list[tuple[Lot, int]]]] = [
            [[] for _ in range(3)] for _ in week.dryers
        ]

    def most(self) -> int:
        self._spread(0, 0)
        return self.best

    def _spread(self, index: int, gained: int) -> None:
        rest = self.week.lots[index:]
        if gained + sum(lot.prepared_g for lot in rest) <= self.best:
            return
        if not rest:
            if all(_runs(self.week, batches) for batches in self.machines):
                self.best = gained
            return
        for count, racks in enumerate(rest[0].parts, 1):
            for spots in _spots(self.machines, rest[0], racks, count):
                self._with(spots, (rest[0], racks), (index, gained))
        self._spread(index + 1, gained)

    def _with(
        self, spots: tuple[tuple[int, int], ...], part: tuple[Lot, int], at_: tuple[int, int]
    ) -> None:
        for machine, batch in spots:
            self.machines[machine][batch].append(part)
        self._spread(at_[0] + 1, at_[1] + part[0].prepared_g)
        for machine, batch in spots:
            self.machines[machine][batch].remove(part)


def _spots(
    machines: list[list[list[tuple[Lot, int]]]], lot: Lot, racks: int, count: int
) -> list[tuple[tuple[int, int], ...]]:
    """Ways to put that many parts of a lot into different batches that it may join."""
    free = [
        (m, b)
        for m, batches in enumerate(machines)
        for b, batch in enumerate(batches)
        if sum(r for _, r in batch) + racks <= 10
        and all(each.group == lot.group for each, _ in batch)
    ]
    return [spots for spots in permutations(free, count) if list(spots) == sorted(spots)]


def _runs(week: Problem, batches: list[list[tuple[Lot, int]]]) -> bool:
    """Whether the batches, in some order, each start in time and end in staffed hours."""
    day, turn = week.days[0], week.dryers[0].turn_round
    for order in permutations([batch for batch in batches if batch]):
        free = day.open
        for batch in order:
            start = max(free, *(lot.arrives for lot, _ in batch))
            end = start + max(lot.drying for lot, _ in batch)
            if start > min(lot.latest for lot, _ in batch) or end > day.close:
                break
            free = end + turn
        else:
            return True
    return False


@pytest.mark.parametrize("name", CASES)
def test_the_builder_equals_brute_force(name: str) -> None:
    machines, jobs = CASES[name]
    week = problem(asked_for(machines, jobs), SIMPLE)
    sizes = {lot.index: sorted(lot.sizes) for lot in week.lots}
    build = build_model(week, Board(week, Calendars(week)), list(week.lots), sizes)
    add_objective(build)
    found = solved(build, Effort(seconds=60, work=20))
    assert found is not None
    most = most_by_brute_force(week)
    assert most > 0
    assert worth(week, found) == most
