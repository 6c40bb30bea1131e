"""The week as asked and as changed: prepared once, with the plan's draft moved into it."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from random import Random

from scheduler import prepare
from scheduler.domain.asked import Asked
from scheduler.domain.kitchen import Kitchen
from scheduler.domain.rules import RuleBook
from scheduler.domain.wish import Wish
from scheduler.keeping import keeping
from scheduler.problem import Draft, DraftRun, Lot, Problem
from scheduler.whiteboard.board import Board
from scheduler.whiteboard.ruin import Ruin

TASTES_BY_CHANCE = 4
BEFORE, AFTER = 100, 60  # ticks around a lot's window in which runs may be in its way


@dataclass(frozen=True, slots=True)
class Trial:
    """A week in which one lot is to be placed whole while no other loses a gram.

    board: what of the plan still fits, the lot itself left out; draft: the same. due: prepared
    grams that every lot must have in the end, by index. chances: tastes drawn by chance when it is
    placed by hand.
    """

    asked: Asked
    ruin: Ruin
    lot: Lot
    board: Board
    draft: Draft
    due: tuple[int, ...]
    chances: int

    @property
    def problem(self) -> Problem:
        return self.ruin.problem

    def short(self, draft: Draft) -> set[int]:
        """The lots that have less in a draft than is due to them."""
        placed = placed_g(self.problem, draft)
        return {index for index, due in enumerate(self.due) if placed[index] < due}

    def near(self, draft: Draft) -> list[DraftRun]:
        """The runs that start about when the lot's would."""
        opens, closes = self.lot.arrives - BEFORE, self.lot.latest + AFTER
        return [run for run in draft.runs if opens <= run.start <= closes]


def placed_g(problem: Problem, draft: Draft) -> list[int]:
    """Prepared grams that a draft places, by lot."""
    racks = draft.racks_of(len(problem.lots))
    if problem.rules.easier:  # there a lot is placed whole or not at all
        return [lot.prepared_g if racks[lot.index] else 0 for lot in problem.lots]
    return [lot.worth(racks[lot.index]) for lot in problem.lots]


@dataclass
class Trials:
    """Problems by kitchen and rule book, made when first asked for (unless the first is given)."""

    asked: Asked
    rules: RuleBook
    draft: Draft
    problem: Problem | None = None
    chances: int = TASTES_BY_CHANCE
    _ready: dict[tuple[Kitchen, RuleBook, tuple[Wish, ...]], Ruin] = field(default_factory=dict)
    _made: dict[tuple[str, bool, bool, bool], Lot] = field(default_factory=dict)
    _unchanged: dict[str, Trial] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if self.problem is not None:
            key = (self.asked.kitchen, self.rules, _left_free(self.asked))
            self._ready[key] = Ruin(self.problem, Random(0))

    def changed(self, asked: Asked, note_id: str) -> Trial:
        """A trial in a changed week, under the plan's own rules."""
        known = self._unchanged.get(note_id) if asked is self.asked else None
        if known is not None:
            return known
        ruin = self._ruin(asked, self.rules, note_id)
        trial = self._trial(asked, ruin, note_id, moved_into(ruin, self.draft))
        if asked is self.asked:
            self._unchanged[note_id] = trial
        return trial

    def relaxed(self, rules: RuleBook, note_id: str) -> Trial:
        """A trial in the week as it was asked, under other rules; the draft is kept as it is."""
        whole = self._whole(self.asked.kitchen, self.rules)
        problem = prepare.under(whole.problem, self.asked.kitchen, rules)
        if not _same_recipes(rules, self.rules):
            made = self._lot_under(rules, note_id)
            problem = replace(problem, lots=_exchanged(problem.lots, (made,)))
        ruin = Ruin(problem, Random(0))
        ruin.calendars = whole.calendars  # the same hours and dryers
        return self._trial(self.asked, ruin, note_id, self.draft)

    def _lot_under(self, rules: RuleBook, note_id: str) -> Lot:
        """The note's lot, made once for all rule books that prepare it in the same ways."""
        key = (note_id, rules.waits, rules.steamers, rules.hands)
        if key not in self._made:
            note = self.asked.note(note_id)
            self._made[key] = prepare.one_lot(self.asked, rules, note, index=0)
        return self._made[key]

    def _trial(self, asked: Asked, ruin: Ruin, note_id: str, draft: Draft) -> Trial:
        problem = ruin.problem
        lot = next(each for each in problem.lots if each.note_id == note_id)
        due = placed_g(self._whole(self.asked.kitchen, self.rules).problem, self.draft)
        due[lot.index] = lot.prepared_g
        board = ruin.rebuilt(draft, {lot.index})
        return Trial(asked, ruin, lot, board, board.draft(), tuple(due), self.chances)

    def _ruin(self, asked: Asked, rules: RuleBook, note_id: str) -> Ruin:
        """The week's problem; only the note's lot is made anew where the note itself is changed."""
        whole = self._whole(asked.kitchen, rules, _left_free(asked))
        own = asked.wishes_for(note_id) == self.asked.wishes_for(note_id)
        if own and asked.notes == self.asked.notes:
            return whole
        made = prepare.one_lot(asked, rules, asked.note(note_id), index=0)
        lots = _exchanged(whole.problem.lots, (made,))
        ruin = Ruin(replace(whole.problem, lots=lots), Random(0))
        ruin.calendars = whole.calendars  # the same hours and dryers
        return ruin

    def _whole(
        self, kitchen: Kitchen, rules: RuleBook, free: tuple[Wish, ...] | None = None
    ) -> Ruin:
        """free: the dryers left free, where not as asked."""
        free = _left_free(self.asked) if free is None else free
        key = (kitchen, rules, free)
        if key not in self._ready:
            others = (each for each in self.asked.wishes if each.kind != "leave free")
            asked = replace(self.asked, kitchen=kitchen, wishes=(*others, *free))
            problem = keeping(asked, self._shared(prepare.problem(asked, rules)))
            self._ready[key] = Ruin(problem, Random(0))
        return self._ready[key]

    def _shared(self, problem: Problem) -> Problem:
        """The problem with known lots in place of equal ones: lots are large."""
        known = next((ruin.problem.lots for ruin in self._ready.values()), problem.lots)
        lots = tuple(
            old if old == new else new for old, new in zip(known, problem.lots, strict=True)
        )
        return replace(problem, lots=lots)


def _left_free(asked: Asked) -> tuple[Wish, ...]:
    return tuple(each for each in asked.wishes if each.kind == "leave free")


def _same_recipes(rules: RuleBook, others: RuleBook) -> bool:
    """Whether charges are prepared in the same ways under both."""
    return all(
        getattr(rules, switch) == getattr(others, switch)
        for switch in ("easier", "waits", "steamers", "hands")
    )


def _exchanged(lots: tuple[Lot, ...], made: tuple[Lot, ...]) -> tuple[Lot, ...]:
    """The lots with newly made ones in the places of those of the same notes."""
    new = {lot.note_id: lot for lot in made}
    return tuple(replace(new.get(lot.note_id, lot), index=lot.index) for lot in lots)


def moved_into(ruin: Ruin, draft: Draft) -> Draft:
    """The draft without the lots of which a charge or a run no longer fits; what is firm is as it
    is in the changed week."""
    draft = _with_firm(ruin.problem, draft)
    lost = {
        charge.lot
        for run in draft.runs
        for charge in run.charges
        if not _run_fits(ruin, run)
        or charge.recipe not in ruin.problem.lots[charge.lot].sizes.get(charge.recipe.racks, ())
    }
    return ruin.rebuilt(draft, lost).draft() if lost else draft


def _with_firm(problem: Problem, draft: Draft) -> Draft:
    firm = {
        (run.key, charge.lot): charge for run in problem.firm.draft.runs for charge in run.charges
    }
    return Draft(
        tuple(
            replace(run, charges=tuple(firm.get((run.key, c.lot), c) for c in run.charges))
            for run in draft.runs
        )
    )


def _run_fits(ruin: Ruin, run: DraftRun) -> bool:
    problem, dryer = ruin.problem, ruin.problem.dryers[run.dryer]
    if not ruin.calendars.legal_starts(dryer, run.drying) >> run.start & 1:
        return False
    release = problem.release(run.start + run.drying)
    if release is None:
        return False
    if problem.rules.easier:
        return run.unload == release
    return release <= run.unload <= release + problem.unloaded_within - dryer.unload
