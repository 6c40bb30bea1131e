"""Placing a lot whole beside the rest of a plan: by moving others about, by the solver."""

from __future__ import annotations

from random import Random

from scheduler.explain.effort import Share
from scheduler.model.build import build_model
from scheduler.model.parts import Build
from scheduler.model.solve import solved
from scheduler.problem import Draft, Lot
from scheduler.reasons.by_hand import filled_up, taste_by_chance
from scheduler.reasons.trials import Trial
from scheduler.whiteboard.board import Board

LOT_LAST = 0.3  # how often the lot is put back after the others
MOST_SIZES = 8
MOST_RUNS = 5  # freed for one call of the solver


def by_steps(trial: Trial, share: Share, random: Random) -> Draft | None:
    """Step by step a few runs near the lot are taken off and put back around it.

    The steps are cold: nobody else may lose.
    """
    now = trial.draft
    for _ in share.each_step():
        near = trial.near(now)
        taken = random.sample(near, min(len(near), random.randint(1, 4)))
        off = {trial.lot.index} | {charge.lot for run in taken for charge in run.charges}
        board = trial.ruin.rebuilt(now, off)
        others = sorted(trial.short(board.draft()) - {trial.lot.index})
        random.shuffle(others)
        lot_last = random.random() < LOT_LAST
        order = [*others, trial.lot.index] if lot_last else [trial.lot.index, *others]
        found = filled_up(trial, board, order, taste_by_chance(random))
        short = trial.short(found)
        if not short:
            return found
        if short <= {trial.lot.index}:
            now = found
    return None


def by_solver(trial: Trial, share: Share, random: Random) -> Draft | None:
    """One call of the solver: the lot and the lots of a few near runs are free, and all of them get
    what is due."""
    near = trial.near(trial.draft)
    taken = random.sample(near, min(len(near), MOST_RUNS))
    off = {trial.lot.index} | trial.short(trial.draft)
    off |= {charge.lot for run in taken for charge in run.charges}
    board = trial.ruin.rebuilt(trial.draft, off)
    free = [trial.problem.lots[index] for index in sorted(trial.short(board.draft()))]
    build = build_model(trial.problem, board, free, {lot.index: _sizes(lot, board) for lot in free})
    if not all(_require(build, lot, trial.due[lot.index]) for lot in free):
        return None
    found = solved(build, share.effort(random.randrange(1 << 30)))
    return None if found is None or trial.short(found) else found


def _require(build: Build, lot: Lot, due: int) -> bool:
    """What is due to a lot becomes a condition; False where it cannot have any charge."""
    charges = [charge for charge in build.charges if charge.lot is lot]
    if not charges:
        return False
    if lot.parts:
        build.model.add(charges[0].present == 1)
        return True
    racks = next(count for count in range(lot.racks + 1) if lot.worth(count) >= due)
    build.model.add(sum(build.total(charge, "racks") for charge in charges) >= racks)
    return True


def _sizes(lot: Lot, board: Board) -> list[int]:
    """Charge sizes worth a thought: what dryers and runs have room for, what is left then,
    halves."""
    if lot.most_charges == 1 or lot.parts:
        return [lot.racks]
    rooms = {board.problem.dryers[index].racks for index in lot.dryers}
    for index in lot.dryers:
        rooms |= {board.problem.dryers[index].racks - run.racks for run in board.runs[index]}
    likely = {min(room, lot.racks) for room in rooms} | {lot.racks - room for room in rooms}
    likely |= {lot.racks, (lot.racks + 1) // 2, lot.racks // 2}
    return sorted(sorted(likely & set(lot.sizes), reverse=True)[:MOST_SIZES])
