"""How long an answer takes: every note of august and glut beside a plan laid out without it.

Run it with `python -m tests.answer.bench_answers`. The plans are made by hand and then mended by so
many steps of ruin and recreate, which places 22 notes or more of august whole.
"""

from __future__ import annotations

import sys
import time
from random import Random

from scheduler.answer import Answer, answered
from scheduler.domain.asked import Asked
from scheduler.domain.plan import Plan
from scheduler.expand import expanded
from scheduler.prepare import problem
from scheduler.scenario import load
from scheduler.whiteboard import whiteboard
from scheduler.whiteboard.ruin import Ruin
from scheduler.worth import worth
from tests.answer.posted import without

STEPS = 150


def mended(asked: Asked) -> Plan:
    week = problem(asked)
    draft, ruin = whiteboard(week), Ruin(week, Random(1))
    for _ in range(STEPS):
        other = ruin.step(draft)
        if worth(week, other) >= worth(week, draft):
            draft = other
    return expanded(asked, week, draft)


def main() -> None:
    for name in ("august", "glut"):
        asked = load(name)
        took, placed, had = [], 0, []
        for note in asked.notes:
            others = without(asked, note.id)
            plan = mended(others)
            had.append(len({charge.note_id for _, charge in plan.charges()}))
            begin = time.perf_counter()
            found = answered(others, plan, note)
            took.append(time.perf_counter() - begin)
            placed += isinstance(found, Answer)
        took.sort()
        p50, p99 = took[len(took) // 2], took[min(len(took) - 1, len(took) * 99 // 100)]
        sys.stdout.write(
            f"{name}: {len(took)} answers beside {min(had)} to {max(had)} placed notes, "
            f"{placed} with a place; p50 {p50:.3f} s, p99 {p99:.3f} s, most {took[-1]:.3f} s\n"
        )


if __name__ == "__main__":
    main()
