"""An instant, provisional answer to a note: a place beside what is posted, or why there is none."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from functools import lru_cache
from random import Random

from scheduler import prepare
from scheduler.answer.caps import caps
from scheduler.answer.places import asked_by, drafts_with, posted_on
from scheduler.answer.told import Telling
from scheduler.answer.values import Answer, Bags, Caps, NoRoom, PlacedCharge, Price, TurnToCome
from scheduler.caps import TurnDay
from scheduler.domain.asked import Asked
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.plan import Plan, Waiting
from scheduler.domain.rules import FULL, RuleBook
from scheduler.errors import BadInput, BrokenPromise, InputFault, StalePlan
from scheduler.expand import added
from scheduler.keeping import all_firm
from scheduler.problem import Firm, Lot, Problem
from scheduler.reasons.by_hand import by_hand
from scheduler.reasons.costs import Cost, cost
from scheduler.reasons.sentences import ruled
from scheduler.reasons.trials import Trials
from scheduler.verify import verify
from scheduler.whiteboard.board import Board

__all__ = [
    "Answer",
    "Bags",
    "Caps",
    "NoRoom",
    "PlacedCharge",
    "Price",
    "TurnToCome",
    "answer_of",
    "answered",
]

ONLY_BY_MOVING = "It would fit only if something that is posted were moved"


def answered(
    asked: Asked,
    plan: Plan,
    note: HarvestNote,
    *,
    rules: RuleBook = FULL,
    now: datetime | None = None,
    turns_known: Collection[TurnDay] = (),
) -> Answer | NoRoom:
    """A place for the note that moves nothing in the posted plan, verified; or the rule that leaves
    no room.

    asked: the week as the plan was made for it, with what has been noted since; the note may be
    among its notes, but has no place yet. plan: the posted one, or an earlier answer's. now:
    nothing of the answer begins before it. turns_known: those the grower has already (rule 16).
    BadInput for a note that names no grower or card of the week or has a place; StalePlan
    where the plan no longer fits the week, or breaks a rule by itself.
    """
    week = _with(asked, plan, note)
    asking = _Asking.of(week, plan, note, rules=rules, now=now)
    tried = False
    for made in asking.plans():
        tried = True
        if not verify(week, made, rules):
            return asking.answer(made, turns_known)
    if tried and verify(week, plan, rules):
        raise StalePlan("the plan breaks a rule by itself; it must be laid out anew")
    return asking.no_room()


def answer_of(asked: Asked, plan: Plan, note: HarvestNote) -> Answer:
    """What the place that a note has in a plan comes to, in the same words as an instant answer."""
    rest = next((each for each in plan.waiting if each.note_id == note.id), None)
    return replace(_told(asked, plan, plan, note=note, rest=rest), provisional=False)


def _told(
    asked: Asked,
    plan: Plan,
    made: Plan,
    *,
    note: HarvestNote,
    rest: Waiting | None,
    known: Collection[TurnDay] = (),
) -> Answer:
    """made: the plan with the note in it; rest: what of the note waits in it."""
    tells = Telling(asked, plan, made, note)
    turns = tells.turns()
    return Answer(
        note_id=note.id,
        arrive=tells.arrive(),
        turns=turns,
        charges=tuple(tells.charges()),
        price=tells.price(),
        bags=tells.bags(),
        papers_short=tells.papers_short(),
        caps=caps(asked, made, note, turns=turns, known=known),
        rest=rest,
        plan=made,
    )


@dataclass(frozen=True, slots=True)
class _Asking:
    """One note and the plan it asks into. few: the week with the placed notes and this one alone,
    because lots take long to make."""

    week: Asked
    few: Asked
    plan: Plan
    note: HarvestNote
    board: Board  # with all of the plan on it, firm

    @classmethod
    def of(
        cls, week: Asked, plan: Plan, note: HarvestNote, *, rules: RuleBook, now: datetime | None
    ) -> _Asking:
        started = {charge.note_id for run in week.happened.runs for charge in run.charges}
        placed = started | {charge.note_id for _, charge in plan.charges()}
        timeless = replace(
            week,
            notes=tuple(each for each in week.notes if each.id in placed),
            happened=replace(week.happened, now=None),
        )
        posted = _posted(timeless, plan, rules)
        few = replace(
            week,
            notes=(*timeless.notes, note),
            happened=replace(week.happened, now=_later(week.happened.now, now)),
        )
        problem = prepare.and_note(posted.problem, few, note)
        return cls(week, few, plan, note, asked_by(posted, problem))

    @property
    def problem(self) -> Problem:
        return self.board.problem

    @property
    def lot(self) -> Lot:
        return self.problem.lots[-1]

    def plans(self) -> Iterator[Plan]:
        """Whole plans with the note in them, the best place first, still to be verified."""
        for draft in drafts_with(self.board, self.lot):
            try:
                yield added(self.few, self.problem, self.plan, draft=draft, lot=self.lot)
            except BrokenPromise:
                continue  # the hands or places left free are not the right ones

    def answer(self, made: Plan, turns_known: Collection[TurnDay]) -> Answer:
        made, rest = self._with_reason(made)
        return _told(self.week, self.plan, made, note=self.note, rest=rest, known=turns_known)

    def _with_reason(self, made: Plan) -> tuple[Plan, Waiting | None]:
        """What has no place of a note that is placed in part, with the reason."""
        rest = next((each for each in made.waiting if each.note_id == self.note.id), None)
        if rest is None:
            return made, None
        told = self._told(rest)
        waiting = tuple(told if each is rest else each for each in made.waiting)
        return replace(made, waiting=waiting), told

    def no_room(self) -> NoRoom:
        told = self._told(Waiting(self.note.id, self.lot.field_g, self.lot.prepared_g))
        assert told.rule is not None
        return NoRoom(self.note.id, told.rule, told.reason, told)

    def _told(self, waiting: Waiting) -> Waiting:
        found = self._cost()
        return replace(waiting, rule=found.rule, reason=found.reason)

    def _cost(self) -> Cost:
        """The same note always has the same reason: chance is drawn from its name."""
        rules, random = self.problem.rules, Random(self.note.id)
        draft, loose = self.problem.firm.draft, replace(self.problem, firm=Firm())
        trials = Trials(self.few, rules, draft, loose, chances=0)
        if by_hand(trials.changed(self.few, self.note.id), random) is not None:
            return Cost(18, ruled(ONLY_BY_MOVING, 18))
        return cost(trials, self.note, random, eased=None)


@lru_cache(maxsize=16)
def _posted(timeless: Asked, plan: Plan, rules: RuleBook) -> Board:
    """All of the plan on its board, firm: made once for all who ask while it stands. timeless: the
    week with the notes placed in it, whatever the time."""
    sizes: dict[str, frozenset[int]] = {}
    for _, charge in plan.charges():
        sizes[charge.note_id] = sizes.get(charge.note_id, frozenset()) | {charge.racks}
    if plan.part_lots:  # their dryers are in use
        timeless = replace(timeless, promised=replace(timeless.promised, plan=plan))
    return posted_on(all_firm(prepare.problem(timeless, rules, sizes=sizes), plan))


def _with(asked: Asked, plan: Plan, note: HarvestNote) -> Asked:
    """The week with the note in it, last in order of call if it is new."""
    if all(grower.id != note.grower_id for grower in asked.growers):
        raise _bad(note, "grower", f"nobody here is called {note.grower_id}")
    if all(card.id != note.card_id for card in asked.cards):
        raise _bad(note, "card", f"there is no process card {note.card_id}")
    started = (charge.note_id for run in asked.happened.runs for charge in run.charges)
    if note.id in {*started, *(charge.note_id for _, charge in plan.charges())}:
        raise _bad(note, "id", "it has a place already; it must be let go of first")
    notes = tuple(note if each.id == note.id else each for each in asked.notes)
    return replace(asked, notes=notes if note in notes else (*notes, note))


def _bad(note: HarvestNote, field: str, message: str) -> BadInput:
    return BadInput((InputFault(f"note {note.id}", None, field, message),))


def _later(one: datetime | None, other: datetime | None) -> datetime | None:
    return max((each for each in (one, other) if each is not None), default=None)
