"""One note that asks otherwise than it was promised: its place anew, nothing else moved."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from random import Random
from typing import Literal

from scheduler import prepare
from scheduler.answer.places import Home, drafts_near, posted_on
from scheduler.domain.asked import Asked
from scheduler.domain.plan import Charge, Plan, Run, Waiting
from scheduler.domain.promised import Promised
from scheduler.domain.rules import FULL
from scheduler.errors import BrokenPromise
from scheduler.expand import expanded
from scheduler.keeping import keeping
from scheduler.problem import Firm, Problem
from scheduler.reasons.by_hand import by_hand
from scheduler.reasons.costs import Cost, cost
from scheduler.reasons.sentences import ruled
from scheduler.reasons.trials import Trials
from scheduler.verify import verify
from scheduler.whiteboard.board import Board

Kind = Literal["same", "other run", "split", "part"]
KINDS: tuple[Kind, ...] = ("same", "other run", "split", "part")
MOST_WAYS = 3
MOST_TRIES = 40  # places looked at before one kind of way is given up
ONLY_BY_MOVING = "It fits only if something that is promised is moved"


@dataclass(frozen=True, slots=True)
class Place:
    """A verified plan of the week with the note in it and all else as it was.

    kind: in the runs it was in, in another one, split, or in part, the rest waiting.
    """

    note_id: str
    kind: Kind
    plan: Plan

    def charges(self) -> tuple[tuple[Run, Charge], ...]:
        return tuple(each for each in self.plan.charges() if each[1].note_id == self.note_id)

    @property
    def rest(self) -> Waiting | None:
        return next((each for each in self.plan.waiting if each.note_id == self.note_id), None)


@dataclass(frozen=True, slots=True)
class Around:
    """All of a posted plan but some notes, firm on its board; asked: the week as it asks now."""

    asked: Asked
    plan: Plan
    problem: Problem
    board: Board

    @classmethod
    def of(
        cls, asked: Asked, plan: Plan, loose: Collection[str], *, now: datetime
    ) -> Around | None:
        """loose: notes whose places are looked for, or that have none any longer. None where what
        is left of the plan does not hold by itself: then the week is to be mended.

        asked: with what is taken by other weeks in its promised.taken.
        """
        placed = {charge.note_id for _, charge in plan.charges()} - set(loose)
        week = replace(
            asked,
            happened=replace(asked.happened, now=_later(asked.happened.now, now)),
            promised=Promised(plan, frozenset(placed), asked.promised.taken),
        )
        sizes: dict[str, frozenset[int]] = {
            each.id: frozenset() for each in week.notes if each.id not in loose
        }
        for _, charge in plan.charges():
            if charge.note_id in sizes:
                sizes[charge.note_id] |= {charge.racks}
        problem = keeping(_papers_aside(week), prepare.problem(week, sizes=sizes))
        if problem.firm.moved:
            return None
        return cls(week, plan, problem, posted_on(problem))

    def places(self, note_id: str) -> tuple[Place, ...]:
        """At most three ways, each of another kind; only the first where it is where it was."""
        found: dict[Kind, Place] = {}
        for tried, plan in enumerate(self._plans(note_id)):
            place = Place(note_id, self._kind(plan, note_id), plan)
            if place.kind not in found and not verify(self.asked, plan):
                found[place.kind] = place
            if "same" in found or len(found) == MOST_WAYS or tried >= MOST_TRIES:
                break
        return tuple(found[kind] for kind in KINDS if kind in found)

    def why_not(self, note_id: str) -> Cost:
        """The rule that leaves it without a place (rule 18 where only others stand in the way);
        the same note always has the same reason."""
        loose = replace(self.problem, firm=Firm())
        trials = Trials(self.asked, self.problem.rules, self.problem.firm.draft, loose, chances=0)
        random = Random(note_id)
        if by_hand(trials.changed(self.asked, note_id), random) is not None:
            return Cost(18, ruled(ONLY_BY_MOVING, 18))
        return cost(trials, self.asked.note(note_id), random, eased=None)

    def _plans(self, note_id: str) -> Iterator[Plan]:
        """Whole plans with the note in them, still to be verified."""
        lot = next((each for each in self.problem.lots if each.note_id == note_id), None)
        if lot is None:
            return
        for draft in drafts_near(self.board, lot, self._home(note_id)):
            try:
                plan = expanded(self.asked, self.problem, draft)
            except BrokenPromise:
                continue  # the hands or places left free are not the right ones
            if any(charge.note_id == note_id for _, charge in plan.charges()):
                yield replace(plan, waiting=tuple(map(self._with_reason, plan.waiting)))

    def _home(self, note_id: str) -> set[Home]:
        dryers = {each.id: each.index for each in self.problem.dryers}
        return {
            (dryers[run.dryer_id], self.problem.tick(run.start))
            for run in self.plan.runs
            if any(charge.note_id == note_id for charge in run.charges)
        }

    def _with_reason(self, waiting: Waiting) -> Waiting:
        """As it was told, where as much waits as before."""
        before = (each for each in self.plan.waiting if each.note_id == waiting.note_id)
        return next((each for each in before if each.field_g == waiting.field_g), waiting)

    def _kind(self, plan: Plan, note_id: str) -> Kind:
        runs, before = _runs(plan, note_id), _runs(self.plan, note_id)
        if any(each.note_id == note_id for each in plan.waiting):
            return "part"
        if before and set(runs) <= set(before):
            return "same"
        return "other run" if len(runs) == 1 else "split"


def _papers_aside(asked: Asked) -> Asked:
    """What is pencilled for want of papers stays where it is too (rule 15 is a state of notes)."""
    growers = (replace(each, papers=()) for each in asked.growers)
    cards = (replace(each, approved=True, approved_until=None) for each in asked.cards)
    return replace(asked, growers=tuple(growers), cards=tuple(cards))


def stands(asked: Asked, plan: Plan, note_id: str, *, now: datetime) -> bool:
    """Whether the posted place of a note still holds as it asks now: nothing of it need move."""
    week = replace(
        asked,
        happened=replace(asked.happened, now=_later(asked.happened.now, now)),
        promised=Promised(None, frozenset(), asked.promised.taken),
    )
    own = [each for each in plan.charges() if each[1].note_id == note_id]
    codes, runs = {charge.code for _, charge in own}, {run.id for run, _ in own}
    return bool(own) and not any(
        fault.run_id in runs if fault.charge is None else fault.charge in codes
        for fault in verify(week, plan, FULL)
    )


def _runs(plan: Plan, note_id: str) -> list[tuple[str, datetime]]:
    return [
        (run.dryer_id, run.start)
        for run in plan.runs
        if any(charge.note_id == note_id for charge in run.charges)
    ]


def _later(one: datetime | None, other: datetime) -> datetime:
    return other if one is None else max(one, other)
