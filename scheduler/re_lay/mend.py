"""From the draft of a mend to the plan, verified, with what it keeps, loses and moves."""

from __future__ import annotations

import time
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Literal

from scheduler.domain.mend import Call, Mend, ReLaid
from scheduler.domain.plan import Moved, Plan, Proof
from scheduler.errors import BrokenPromise
from scheduler.expand import expanded
from scheduler.keeping import holding
from scheduler.model.master import most_there_is
from scheduler.problem import Problem
from scheduler.re_lay.moves import OTHERS, moves_between
from scheduler.re_lay.small import Small
from scheduler.re_lay.week import Week, worth_by_note
from scheduler.units import Grams, kg
from scheduler.verify import verify
from scheduler.worth import worth

WORTH_IT = 0.01  # of the small change, moves counted: for less nobody further is rung (demo)


@dataclass(frozen=True, slots=True)
class Course:
    """How a draft was found: since when, and the bound that was proved, if any."""

    name: Literal["small", "whole"]
    begin: float
    bound_g: int | None = None


def mended(week: Week, ways: Iterable[Small], course: Course) -> Mend:
    """The mend that the first of these drafts stands for that can be written out; BrokenPromise
    where the verifier finds fault with all of them."""
    plan = next((plan for each in ways for plan in _verified(week, each)), None)
    if plan is None:
        raise BrokenPromise(f"the {course.name} change cannot be written out without a fault")
    bound = most_there_is(week.problem) if course.bound_g is None else course.bound_g
    stays = Grams(worth(week.problem, week.whole.firm.draft))
    plan = replace(plan, proof=Proof(plan.worth_g, Grams(max(bound, plan.worth_g)), stays))
    before, after = worth_by_note(week.asked, week.plan), worth_by_note(week.asked, plan)
    weighing = week.weighing
    return Mend(
        plan=plan,
        moves=moves_between(week.plan, plan, weighing=weighing, why=week.lost),
        kept=tuple(each for each in before if 0 < before[each] <= after[each]),
        lost=tuple(each for each in before if after[each] < before[each]),
        gained=tuple(each for each in before if before[each] < after[each]),
        worth_g=plan.worth_g,
        seconds=time.monotonic() - course.begin,
    )


def _verified(week: Week, small: Small) -> Iterator[Plan]:
    """With as much as can be told to be unchanged; then with less, down to what the draft was found
    beside, so that hands and tables may change."""
    draft, index = small.draft, week.index
    same = week.unchanged(draft)
    stays = (week.whole.firm.lots, small.problem.firm.lots, frozenset[int]())
    for notes in (same, *([each for each in same if index[each] in lots] for lots in stays)):
        problem, _ = holding(week.asked, week.problem, notes, company=False)
        problem = replace(problem, firm=replace(problem.firm, moved=tuple(_moved(week, problem))))
        try:
            plan = expanded(week.asked, problem, draft)
        except BrokenPromise:
            continue
        if not verify(week.asked, plan, problem.rules):
            yield plan


def _moved(week: Week, problem: Problem) -> Iterator[Moved]:
    """The firm notes that are not pinned, each with the reason; who is in place is left out
    later."""
    pinned = {problem.lots[each].note_id for each in problem.firm.lots}
    for note in week.asked.open_notes():
        if note.id in week.asked.promised.firm - pinned:
            yield week.lost.get(note.id, Moved(note.id, 18, OTHERS))


def offered(week: Week, small: Mend, whole: Mend | None) -> ReLaid:
    """Both, and which is proposed: the whole week only if it is worth its moves, or moves fewer
    turns of short notice."""
    gain = 0 if whole is None else whole.worth_g - small.worth_g
    more = 0 if whole is None else whole.weight - small.weight
    fewer = whole is not None and len(short_moved(week, whole)) < len(short_moved(week, small))
    better = fewer or gain - more >= WORTH_IT * small.worth_g
    chosen = whole if better and whole is not None else small
    if whole is None:
        why = "Laying out the whole week finds nothing better."
    else:
        told = f"{kg(Grams(gain)):.1f} kg prepared weight more"
        turns = f"turns moved: {len(whole.moves)} instead of {len(small.moves)}"
        why = f"The whole week has room for {told}; {turns}."
    return ReLaid(small, whole, "whole" if better else "small", why, tuple(_calls(week, chosen)))


def short_moved(week: Week, mend: Mend) -> list[str]:
    """The note of each bringing turn of short notice that the mend moves."""
    return [
        each.note_id
        for each in mend.moves
        if each.kind == "bringing" and each.was and week.short_notice(each.note_id, each.was.start)
    ]


def _calls(week: Week, mend: Mend) -> Iterator[Call]:
    """Who is moved, least notice first."""
    notes: dict[str, list[str]] = {}
    for move in mend.moves:
        if move.was is not None:
            own = notes.setdefault(move.grower_id, [])
            own.extend([] if move.note_id in own else [move.note_id])
    for grower_id, own in notes.items():
        yield Call(grower_id, "", "turns are moved", tuple(own))
