"""Part of a posted plan as a draft: with company where a run needs it, and with wash-downs."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, replace

from scheduler.problem import Draft, DraftRun, Firm, Key, Problem
from scheduler.whiteboard.board import Board
from scheduler.whiteboard.calendars import Calendars
from scheduler.whiteboard.fit import unloads, wash_down
from scheduler.whiteboard.ruin import wash_between


@dataclass(frozen=True, slots=True)
class Part:
    """runs: of the posted plan as the problem's, in order of dryer and start."""

    problem: Problem
    runs: tuple[DraftRun, ...]

    def of(self, lots: Collection[int], *, company: bool) -> Draft:
        """The runs with those lots alone; with company no run of theirs becomes shorter where a
        lot beside them can prevent it."""
        stay = set(lots)
        while company:
            more = set(self._company(stay)) - stay
            if not more:
                break
            stay |= more
        return self._draft(
            self._lasting(replace(run, charges=own))
            for run in self.runs
            if (own := tuple(charge for charge in run.charges if charge.lot in stay))
        )

    def whole(self, firm: Firm, off: Collection[int]) -> Draft:
        """All runs but for some lots; what is firm as it is there."""
        return self._draft(self._beside(firm, off), firm.wash_downs)

    def _beside(self, firm: Firm, off: Collection[int]) -> Iterator[DraftRun]:
        stands = {run.key: run for run in firm.draft.runs}
        for run in self.runs:
            stays = stands.get(run.key, replace(run, charges=()))
            others = tuple(
                charge
                for charge in run.charges
                if charge.lot not in off
                and self.problem.lots[charge.lot].may_start(*run.key)
                and charge.lot not in firm.lots
                and self.problem.lots[charge.lot].drying <= stays.drying
            )
            made = replace(stays, charges=(*stays.charges, *others))
            if made.charges and self._longest(made) == made.drying:
                yield replace(made, wash_down=firm.wash_downs.get(run.key, run.wash_down))

    def _longest(self, run: DraftRun) -> int:
        return max(self.problem.lots[charge.lot].drying for charge in run.charges)

    def _company(self, stay: set[int]) -> Iterator[int]:
        """For each run that what stays would leave too short, a lot that it is as long as."""
        for run in self.runs:
            own = replace(run, charges=tuple(each for each in run.charges if each.lot in stay))
            if own.charges and self._longest(own) < run.drying:
                yield from [
                    each.lot
                    for each in run.charges
                    if self.problem.lots[each.lot].drying == run.drying
                ][:1]

    def _lasting(self, run: DraftRun) -> DraftRun:
        """The run as long as its longest charge, unloaded as before if it may be."""
        problem, dryer, drying = self.problem, self.problem.dryers[run.dryer], self._longest(run)
        if drying == run.drying:
            return run
        run, end = replace(run, drying=drying), run.start + drying
        release = problem.release(end)
        if release is None or release <= run.unload <= (
            release + problem.unloaded_within - dryer.unload
        ):
            return run
        found = unloads(Board(problem, Calendars(problem)), dryer, end)
        return replace(run, unload=next(found, release))

    def _draft(self, runs: Iterable[DraftRun], fixed: Collection[Key] = ()) -> Draft:
        """With wash-downs where groups ask for them (rule 8), at their old times if they had any.

        fixed: the runs of which the wash-down is firm.
        """
        problem, ordered = self.problem, sorted(runs, key=lambda run: run.key)
        board = Board(problem, Calendars(problem))
        for run in ordered:
            board.add_run(run)
        for run, following in zip(ordered, [*ordered[1:], None], strict=False):
            needed = following is not None and wash_between(problem, run, following)
            if run.key in fixed or needed == (run.wash_down is not None):
                continue
            at = None
            if following is not None and needed:
                at = wash_down(board, problem.dryers[run.dryer], run, following.start)
            board.clean_after(run, at)
        return board.draft()


def beside(runs: Iterable[DraftRun], gone: Collection[int]) -> tuple[DraftRun, ...]:
    """The runs without some lots."""
    return tuple(
        replace(run, charges=tuple(each for each in run.charges if each.lot not in gone))
        for run in runs
    )
