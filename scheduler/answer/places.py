"""Drafts with one more lot on the board, the best first; what is posted stays where it is."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from itertools import islice

from scheduler.problem import Draft, Lot, Problem
from scheduler.whiteboard import soonest
from scheduler.whiteboard.board import Board
from scheduler.whiteboard.calendars import Calendars
from scheduler.whiteboard.fit import Pick
from scheduler.whiteboard.masks import first, last
from scheduler.whiteboard.place import Placing, Rooms, Taste, place_lot, put

Order = Callable[[Board, Placing], tuple[float, ...]]
Home = tuple[int, int]  # dryer and start of a run
PICKS: tuple[tuple[Pick, Pick], ...] = ((first, last), (last, last), (first, first))
MOST_WHOLE = 12  # places tried for the whole lot before it is split


def posted_on(problem: Problem) -> Board:
    """A board with what is firm on it."""
    return Board.begun(problem, Calendars(problem))


def asked_by(posted: Board, problem: Problem) -> Board:
    """The same board while one more lot, the last of the problem's, asks for a place on it."""
    board = posted.copy()
    board.problem, board.calendars = problem, Calendars(problem)
    return board


def drafts_with(board: Board, lot: Lot) -> Iterator[Draft]:
    """Drafts with all of the lot beside what is firm, the earliest run first, then the snuggest;
    then split, then in part."""
    if not lot.sizes or not lot.dryers:
        return
    if lot.parts:
        yield from _easier(board, lot)
        return
    for placing in islice(_whole(board, lot), MOST_WHOLE):
        twin = board.copy()
        put(twin, placing)
        yield twin.draft()
    if lot.most_charges > 1:
        yield from _split(board, lot)


def _easier(board: Board, lot: Lot) -> Iterator[Draft]:
    """Easier rules: whole or in equal parts; set points are exactly equal there."""
    before = board.draft()
    found = place_lot(board.copy(), lot, Taste(soonest)).draft()
    if found != before:
        yield found


def _whole(board: Board, lot: Lot) -> Iterator[Placing]:
    rooms = Rooms(board, lot)
    found = {
        (placing.run.dryer, placing.run.start, placing.charge.cut): placing
        for picks in PICKS
        for placing in _candidates(rooms, lot.racks, picks)
    }
    yield from sorted(found.values(), key=lambda placing: _earliest(board, placing))


def _candidates(rooms: Rooms, size: int, picks: tuple[Pick, Pick]) -> Iterator[Placing]:
    if size in rooms.lot.sizes:
        yield from rooms.placings(size, Taste(soonest, *picks))


def _left(board: Board, placing: Placing) -> int:
    """Racks that its run leaves empty."""
    return board.problem.dryers[placing.run.dryer].racks - placing.run.racks - placing.size


def _earliest(board: Board, placing: Placing) -> tuple[float, ...]:
    return (placing.run.start, _left(board, placing), placing.run.dryer, -placing.size)


def _snuggest(board: Board, placing: Placing) -> tuple[float, ...]:
    return (_left(board, placing), placing.run.start, placing.run.dryer, -placing.size)


def _largest(board: Board, placing: Placing) -> tuple[float, ...]:
    return (-placing.size, placing.run.start, _left(board, placing), placing.run.dryer)


def _split(board: Board, lot: Lot, *, orders: Sequence[Order] = ()) -> Iterator[Draft]:
    """In charges, in several tastes: what places most of it first, then what is out first."""
    found: list[tuple[int, int, Draft]] = []
    for order in orders or (_earliest, _snuggest, _largest):
        for picks in PICKS[:2]:
            twin, starts = board.copy(), [0]
            left = _put_pieces(twin, lot, (order, picks), starts)
            if left < lot.racks:
                found.append((left, max(starts), twin.draft()))
    yield from (draft for _, _, draft in sorted(found, key=lambda each: each[:2]))


def _put_pieces(
    board: Board, lot: Lot, how: tuple[Order, tuple[Pick, Pick]], starts: list[int]
) -> int:
    """Puts charge after charge on the board; the racks left over."""
    (order, picks), left = how, lot.racks
    for piece in range(lot.most_charges):
        rooms = Rooms(board, lot)
        sizes = rooms.piece_sizes(left, last_piece=piece == lot.most_charges - 1)
        every = (c for size in sizes for c in _candidates(rooms, size, picks))
        best = min(every, key=lambda placing: order(board, placing), default=None)
        if best is None:
            break
        put(board, best)
        starts.append(best.run.start)
        left -= best.size
        if left < lot.least_racks:
            break
    return left


def drafts_near(board: Board, lot: Lot, home: Collection[Home]) -> Iterator[Draft]:
    """Likewise for a lot that had a place: where that was first, then the rest of the board.

    home: dryer and start of the runs that it was in.
    """
    if not lot.sizes or not lot.dryers:
        return

    def homely(board: Board, placing: Placing) -> tuple[float, ...]:
        away = (placing.run.dryer, placing.run.start) not in home
        return (away, *_earliest(board, placing))

    whole = sorted(_whole(board, lot), key=lambda placing: homely(board, placing))
    for placing in whole[:MOST_WHOLE]:
        twin = board.copy()
        put(twin, placing)
        yield twin.draft()
    if lot.most_charges > 1:
        yield from _split(board, lot, orders=(homely, _earliest, _snuggest, _largest))
