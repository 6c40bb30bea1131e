"""What is promised stays where it is: the firm notes that can be kept, and why others cannot."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from scheduler import prepare
from scheduler.domain.asked import Asked
from scheduler.domain.plan import Charge, Moved, Plan
from scheduler.errors import BrokenPromise, StalePlan
from scheduler.expand import Back, draft_of, expanded, taken_by
from scheduler.keeping.papers import short_on_its_days
from scheduler.keeping.part import Part, beside
from scheduler.problem import Draft, DraftRun, Firm, Problem
from scheduler.verify import Fault, verify

__all__ = ["all_firm", "cannot_be_kept", "holding", "keeping"]

UNPLACED = "Its stations or hands do not suffice beside what else is promised"
MOST_TRIES = 10  # to find what of the posted plan still holds


def all_firm(problem: Problem, plan: Plan) -> Problem:
    """The problem with all of a plan on the board to stay; StalePlan where it no longer fits."""
    return replace(problem, firm=_firm(problem, plan, draft_of(problem, plan)))


def keeping(asked: Asked, problem: Problem) -> Problem:
    """The problem with the promised notes that can be kept to stay, and the others named.

    All are kept where the plan of them alone breaks no rule. Else they are put back one by one,
    those under way first, then in order of turn, and who does not fit beside those before is let
    go of. Where a firm charge alone would make its run shorter, the pencilled one that it is as
    long as stays too; where that is gone, the run ends sooner. A note whose papers are short is
    pencilled (rule 15).
    """
    plan = asked.promised.plan
    if plan is None or plan.rules != problem.rules.name:
        return problem
    return _Keeping(asked, problem, plan).kept()


def holding(
    asked: Asked, problem: Problem, notes: Iterable[str], *, company: bool = True
) -> tuple[Problem, dict[str, Moved]]:
    """The problem with as many of these notes as can stay where the promised plan has them, put
    back one by one in that order where not all can; and why others cannot.

    company: others may stay with them where a run would become shorter without.
    """
    plan = asked.promised.plan
    if plan is None or plan.rules != problem.rules.name:
        return problem, {}
    trying = _Keeping(asked, problem, plan, company=company)
    placed = {charge.note_id for _, charge in plan.charges()} - set(trying.lost)
    wanted = [trying.notes[each] for each in notes if each in placed and each in trying.notes]
    return replace(problem, firm=trying.largest(wanted)), trying.lost


def cannot_be_kept(asked: Asked) -> tuple[Moved, ...]:
    """The promised notes that cannot stay where they are, each with the rule in the way."""
    sizes = {note.id: frozenset[int]() for note in asked.notes}
    for _, charge in asked.promised.plan.charges() if asked.promised.plan else ():
        sizes[charge.note_id] = sizes.get(charge.note_id, frozenset()) | {charge.racks}
    return keeping(asked, prepare.problem(asked, sizes=sizes)).firm.moved


def _firm(problem: Problem, plan: Plan, draft: Draft) -> Firm:
    """What of the plan is in the draft, to stay."""
    points = {
        (run.dryer_id, problem.tick(run.start)): round(10 * run.set_point_c) for run in plan.runs
    }
    dryers = problem.dryers
    return Firm(
        draft=draft,
        set_points={run.key: points[dryers[run.dryer].id, run.start] for run in draft.runs},
        taken=taken_by(problem, plan, draft),
    )


class _Keeping:
    def __init__(self, asked: Asked, problem: Problem, plan: Plan, *, company: bool = True) -> None:
        self.companies = (True, False) if company else (False,)
        self.asked, self.problem, self.plan = asked, problem, plan
        self.notes = {lot.note_id: lot.index for lot in problem.lots}
        self.lost: dict[str, Moved] = {}
        runs = tuple(self._runs())
        gone = {self.notes[note_id] for note_id in self.lost}
        self.part = Part(problem, beside(runs, gone))

    def kept(self) -> Problem:
        firm = self.largest(self._wanted())
        promised = self.asked.promised.firm
        moved = tuple(each for each in self.lost.values() if each.note_id in promised)
        problem = replace(self.problem, firm=replace(firm, moved=moved))
        return replace(problem, firm=replace(problem.firm, as_posted=self._as_posted(problem)))

    def _lose(self, note_id: str, rule: int, reason: str) -> None:
        self.lost.setdefault(note_id, Moved(note_id, rule, reason))

    def _runs(self) -> Iterator[DraftRun]:
        """The plan's runs as the problem's, with the charges of notes that still ask."""
        back = Back(self.problem, self.plan)
        for run in self.plan.runs:
            own = [charge for charge in run.charges if charge.note_id in self.notes]
            try:
                made = back.run(replace(run, charges=()))
            except StalePlan as error:
                for charge in own:
                    self._lose(charge.note_id, 18, _sentence(error))
                continue
            charges = []
            for charge in own:
                try:
                    charges.append(back.charge(charge))
                except StalePlan as error:
                    self._lose(charge.note_id, 18, _sentence(error))
            yield replace(made, charges=tuple(charges))

    def _wanted(self) -> list[int]:
        """Lots to keep: those under way first, then the firm ones in order of turn."""
        now = self.asked.happened.now
        of_note: dict[str, list[Charge]] = {}
        for _, charge in self.plan.charges():
            of_note.setdefault(charge.note_id, []).append(charge)
        begun, firm = [], []
        for lot in self.problem.lots:
            charges = of_note.get(lot.note_id, [])
            if not charges or lot.note_id in self.lost:
                continue
            if now and any(c.preparation and c.preparation.wash.start < now for c in charges):
                begun.append(lot.index)
            elif lot.note_id in self.asked.promised.firm:
                short = short_on_its_days(self.asked, self.plan, lot.note_id)
                if short:
                    self._lose(lot.note_id, 15, short)
                else:
                    firm.append(lot.index)
        return [*begun, *firm]

    def largest(self, wanted: list[int]) -> Firm:
        """All that are wanted if they can be kept, else as many as fit one after the other."""
        every = self._held(frozenset(wanted))
        if isinstance(every, Firm):
            return every
        kept, firm = frozenset[int](), Firm()
        for lot in wanted:
            held = self._held(kept | {lot}, asked_for=lot)
            if isinstance(held, Firm):
                kept, firm = kept | {lot}, held
            else:
                self._lose(self.problem.lots[lot].note_id, held.rule, f"{held.message}.")
        return firm

    def _held(self, lots: frozenset[int], *, asked_for: int | None = None) -> Firm | Fault:
        """Those lots to stay, or a fault of the plan of them alone."""
        told = Fault(18, UNPLACED)
        for company in self.companies:
            draft = self.part.of(lots, company=company)
            firm = replace(_firm(self.problem, self.plan, draft), moved=self._others(lots))
            faults = self._faults(replace(self.problem, firm=firm), draft)
            if not faults:
                return firm
            note_id = None if asked_for is None else self.problem.lots[asked_for].note_id
            own = (each for each in faults if _note(each) == note_id)
            told = next(own, faults[0])
        return told

    def _others(self, lots: frozenset[int]) -> tuple[Moved, ...]:
        stay = {self.problem.lots[lot].note_id for lot in lots}
        return tuple(Moved(each, 18, "") for each in self.asked.promised.firm - stay)

    def _faults(self, problem: Problem, draft: Draft) -> tuple[Fault, ...]:
        """Of the plan that the draft stands for; each names its charge where it lies in a run."""
        try:
            plan = expanded(self.asked, problem, draft)
        except BrokenPromise:
            return (Fault(18, UNPLACED),)
        codes = {run.id: [charge.code for charge in run.charges] for run in plan.runs}
        return tuple(
            replace(fault, charge=code)
            for fault in verify(self.asked, plan, problem.rules)
            for code in ([fault.charge] if fault.charge else codes.get(fault.run_id or "", [None]))
        )

    def _as_posted(self, problem: Problem) -> Draft | None:
        """The posted plan with what is pencilled in it, as far as it still holds."""
        off = frozenset[int]()
        for _ in range(MOST_TRIES):
            draft = self.part.whole(problem.firm, off)
            faults = self._faults(problem, draft)
            if not faults:
                return draft
            named = {self.notes.get(_note(fault), -1) for fault in faults}
            more = off | named - {-1} - problem.firm.lots
            if more == off:
                break
            off = more
        return None


def _note(fault: Fault) -> str:
    """The note that a fault lies with."""
    return (fault.charge or "").split(" ")[0]


def _sentence(error: Exception) -> str:
    text = str(error)
    return f"{text[:1].upper()}{text[1:]}."
