"""The cart dryer's night mended, and laid out afresh: python -m tests.bench.dryer_down

For each rule book lines of JSON: notes and kg in the field that keep a place, turns moved,
seconds of clock and processor. Then each turn of under twelve hours' notice that a mend moves
is forced to stay beside all others of them that stay: what the solver says of it.
"""

from __future__ import annotations

import argparse
import json
import resource
import sys
import time
from collections.abc import Iterator
from dataclasses import replace
from random import Random
from resource import RUSAGE_CHILDREN, RUSAGE_SELF

from scheduler.domain.asked import Asked
from scheduler.domain.mend import Mend
from scheduler.domain.plan import Plan
from scheduler.domain.promised import Promised
from scheduler.domain.rules import FULL, SIMPLE, RuleBook
from scheduler.expand import Back
from scheduler.measures import rescued
from scheduler.model.solve import Effort
from scheduler.model.stay import stays
from scheduler.papers import short_in
from scheduler.planning import Limits, lay_out
from scheduler.problem import Draft, DraftRun
from scheduler.re_lay import in_hand, re_laid
from scheduler.re_lay.mend import short_moved
from scheduler.re_lay.moves import Weighing, moves_between
from scheduler.re_lay.week import Week, week_of
from scheduler.scenario import load
from scheduler.units import kg
from scheduler.verify import verify
from scheduler.whiteboard.ruin import Ruin

FORCED = Effort(seconds=20.0)


def told(**figures: object) -> None:
    sys.stdout.write(json.dumps(figures) + "\n")
    sys.stdout.flush()


def processor_s() -> float:
    """Of this process and of those that have ended under it."""
    own, others = (resource.getrusage(each) for each in (RUSAGE_SELF, RUSAGE_CHILDREN))
    return own.ru_utime + own.ru_stime + others.ru_utime + others.ru_stime


def plan_in_hand(asked: Asked, rules: RuleBook, limits: Limits) -> tuple[Asked, Plan]:
    before = replace(asked, happened=replace(asked.happened, outages=()))
    plan = lay_out(before, rules, limits=limits, explain_seconds=0).plan
    placed = {charge.note_id for _, charge in plan.charges()}
    firm = frozenset(n.id for n in asked.notes if n.id in placed and not short_in(asked, plan, n))
    return replace(asked, promised=Promised(plan, firm)), plan


def line(way: str, week: Week, plan: Plan, *, seconds: float) -> None:
    found = rescued(week.asked, plan)
    moves = moves_between(week.plan, plan, weighing=Weighing(week.asked, week.now), why={})
    told(
        rules=plan.rules,
        way=way,
        notes=found.placed_notes,
        in_part=found.part_placed_notes,
        field_kg=round(kg(found.placed_field_g), 1),
        prepared_kg=round(kg(plan.worth_g), 1),
        turns_moved=sum(each.was is not None for each in moves),
        short_notice_moved=sum(
            each.was is not None and week.short_notice(each.note_id, each.was.start)
            for each in moves
            if each.kind == "bringing"
        ),
        faults=len(verify(week.asked, plan, week.problem.rules)) if way != "afresh" else 0,
        seconds=round(seconds, 1),
    )


def forced(week: Week, mend: Mend) -> Iterator[tuple[str, str]]:
    """Each of them put back at its time on a board with what has begun and the others that stay."""
    problem, back = week.going, Back(week.problem, mend.plan)
    moved = short_moved(week, mend)
    early = {n for (n, _) in week.turns if week.short_of(n)} - set(moved)
    keep = early | {problem.lots[lot].note_id for lot in problem.firm.lots}
    runs: list[DraftRun] = []
    for run in mend.plan.runs:
        own = tuple(charge for charge in run.charges if charge.note_id in keep)
        if own:
            runs.append(back.run(replace(run, charges=own)))
    board = Ruin(problem, Random(0)).rebuilt(Draft(tuple(runs)), set())
    for note_id in dict.fromkeys(moved):
        lot = problem.lots[week.index[note_id]]
        starts = [turn.at for turn in week.home.bringing[lot.index] if turn.flat]
        found = stays(problem, board, lot, starts, FORCED)
        words = {True: "not known", False: "cannot"}
        yield note_id, words[found] if isinstance(found, bool) else "can"


def measured(rules: RuleBook, seconds: float, hand: Limits) -> None:
    asked, plan = plan_in_hand(load("dryer_down"), rules, hand)
    now = asked.happened.now
    assert now
    begin, worked = time.monotonic(), processor_s()
    found = re_laid(asked, plan, now, limits=Limits(seconds=seconds))
    took, worked = time.monotonic() - begin, processor_s() - worked
    week = week_of(in_hand(asked, plan, now, found.small.plan.part_lots), now, ())
    line("plan in hand", week, plan, seconds=0)
    line("small change", week, found.small.plan, seconds=found.small.seconds)
    if found.whole:
        line("whole week", week, found.whole.plan, seconds=took)
    free = replace(week.asked, promised=replace(week.asked.promised, firm=frozenset()))
    begun = processor_s()
    afresh = lay_out(free, rules, limits=Limits(seconds=seconds), explain_seconds=0)
    line("afresh", week, afresh.plan, seconds=afresh.wall_s)
    told(
        rules=rules.name,
        processor_s={"mends": round(worked, 1), "afresh": round(processor_s() - begun, 1)},
    )
    for way, mend in (("small change", found.small), ("whole week", found.whole)):
        for note_id, word in forced(week, mend) if mend else ():
            told(rules=rules.name, way=way, forced=note_id, stays=word)


def main() -> None:
    said = argparse.ArgumentParser(description=__doc__)
    said.add_argument("--seconds", type=float, default=9)
    said.add_argument("--hand-seconds", type=float, default=20)
    said.add_argument("--seed", type=int, default=1, help="of the plan in hand")
    limits = said.parse_args()
    for rules in (FULL, SIMPLE):
        measured(rules, limits.seconds, Limits(seconds=limits.hand_seconds, seed=limits.seed))


if __name__ == "__main__":
    main()
