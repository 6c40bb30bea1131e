"""Drafts with one more lot on the board, the best first; what is posted stays where it is."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import islice

from scheduler.domain.plan import Plan
from scheduler.expand import draft_of
from scheduler.problem import Draft, Lot, Problem
from scheduler.whiteboard import soonest
from scheduler.whiteboard.board import Board, Calendars
from scheduler.whiteboard.fit import Pick
from scheduler.whiteboard.masks import first, last
from scheduler.whiteboard.place import Placing, Taste, piece_sizes, place_lot, placings, put

Order = Callable[[Board, Placing], tuple[float, ...]]
PICKS: tuple[tuple[Pick, Pick], ...] = ((first, last), (last, last), (first, first))
MOST_WHOLE = 12  # places tried for the whole lot before it is split


@dataclass(frozen=True, slots=True)
class Posted:
    """The posted plan on the board. set_points: tenths of a degree by dryer and start."""

    problem: Problem
    draft: Draft
    set_points: dict[tuple[int, int], int]
    filled: Board

    @classmethod
    def of(cls, problem: Problem, plan: Plan) -> Posted:
        draft = draft_of(problem, plan)
        runs = {(run.dryer_id, run.start): run for run in plan.runs}
        by_time = sorted(runs.values(), key=lambda run: (run.dryer_id, run.start))
        ids = [dryer.id for dryer in problem.dryers]
        order = sorted(draft.runs, key=lambda run: (ids[run.dryer], run.start))
        points = {
            (its.dryer, its.start): round(10 * run.set_point_c)
            for its, run in zip(order, by_time, strict=True)
        }
        board = Board(problem, Calendars(problem))
        for run in draft.runs:
            board.add_run(run)
        return cls(problem, draft, points, board)

    def asked_by(self, problem: Problem) -> Posted:
        """The same plan while one more lot, the last of the problem's, asks for a place in it."""
        board = self.filled.copy()
        board.problem, board.calendars = problem, Calendars(problem)
        return replace(self, problem=problem, filled=board)

    def kept(self, board: Board, placing: Placing) -> Placing | None:
        """The placing as far as it moves nothing posted: set points and wash-downs stay too."""
        if placing.joins is not None:
            at = self.set_points.get((placing.run.dryer, placing.run.start))
            fits = at is not None and placing.lot.coolest <= at <= placing.lot.hottest
            return placing if fits else None
        if placing.cleaned is None:
            return placing
        before, washed = placing.cleaned
        if before.wash_down is None:
            in_past = washed is not None and washed < self.problem.now
            return None if in_past else placing
        dryer = self.problem.dryers[before.dryer]
        clean = self.problem.staffed_time(before.wash_down + dryer.wash_down)
        ready = clean + dryer.turn_round - dryer.unload
        in_time = ready <= self.problem.staffed_time(placing.run.start)
        return replace(placing, cleaned=None) if in_time else None


def drafts_with(posted: Posted, lot: Lot) -> Iterator[Draft]:
    """Drafts with all of the lot, the earliest run first, then the snuggest; then split, then in
    part."""
    if not lot.sizes or not lot.dryers:
        return
    board = posted.filled
    if lot.parts:
        yield from _easier(board, lot)
        return
    for placing in islice(_whole(posted, board, lot), MOST_WHOLE):
        twin = board.copy()
        put(twin, placing)
        yield twin.draft()
    if lot.most_charges > 1:
        yield from _split(posted, board, lot)


def _easier(board: Board, lot: Lot) -> Iterator[Draft]:
    """Easier rules: whole or in equal parts; set points are exactly equal there."""
    before = board.draft()
    found = place_lot(board.copy(), lot, Taste(soonest)).draft()
    if found != before:
        yield found


def _whole(posted: Posted, board: Board, lot: Lot) -> Iterator[Placing]:
    found = {
        (placing.run.dryer, placing.run.start, placing.charge.cut): placing
        for picks in PICKS
        for placing in _candidates(posted, board, lot, (lot.racks, picks))
    }
    yield from sorted(found.values(), key=lambda placing: _earliest(board, placing))


def _candidates(
    posted: Posted, board: Board, lot: Lot, how: tuple[int, tuple[Pick, Pick]]
) -> Iterator[Placing]:
    size, (start, cut) = how
    if size not in lot.sizes:
        return
    for placing in placings(board, lot, size, Taste(soonest, start, cut)):
        kept = posted.kept(board, placing)
        if kept is not None:
            yield kept


def _left(board: Board, placing: Placing) -> int:
    """Racks that its run leaves empty."""
    return board.problem.dryers[placing.run.dryer].racks - placing.run.racks - placing.size


def _earliest(board: Board, placing: Placing) -> tuple[float, ...]:
    return (placing.run.start, _left(board, placing), placing.run.dryer, -placing.size)


def _snuggest(board: Board, placing: Placing) -> tuple[float, ...]:
    return (_left(board, placing), placing.run.start, placing.run.dryer, -placing.size)


def _largest(board: Board, placing: Placing) -> tuple[float, ...]:
    return (-placing.size, placing.run.start, _left(board, placing), placing.run.dryer)


def _split(posted: Posted, board: Board, lot: Lot) -> Iterator[Draft]:
    """In charges, in several tastes: what places most of it first, then what is out first."""
    found: list[tuple[int, int, Draft]] = []
    for order in (_earliest, _snuggest, _largest):
        for picks in PICKS[:2]:
            twin, starts = board.copy(), [0]
            left = _put_pieces(posted, twin, lot, (order, picks), starts)
            if left < lot.racks:
                found.append((left, max(starts), twin.draft()))
    yield from (draft for _, _, draft in sorted(found, key=lambda each: each[:2]))


def _put_pieces(
    posted: Posted, board: Board, lot: Lot, how: tuple[Order, tuple[Pick, Pick]], starts: list[int]
) -> int:
    """Puts charge after charge on the board; the racks left over."""
    (order, picks), left = how, lot.racks
    for piece in range(lot.most_charges):
        sizes = piece_sizes(board, lot, left, last_piece=piece == lot.most_charges - 1)
        every = (c for size in sizes for c in _candidates(posted, board, lot, (size, picks)))
        best = min(every, key=lambda placing: order(board, placing), default=None)
        if best is None:
            break
        put(board, best)
        starts.append(best.run.start)
        left -= best.size
        if left < lot.least_racks:
            break
    return left
