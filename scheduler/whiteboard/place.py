"""Putting lots on the board by hand: whole where they fit, else split, else in part."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from scheduler.problem import DraftCharge, DraftRun, DryerSpec, Lot
from scheduler.whiteboard.board import Board
from scheduler.whiteboard.fit import (
    Feeding,
    Free,
    Pick,
    Way,
    after_dryer,
    run_starts,
    unloads,
    wash_down,
    ways,
)
from scheduler.whiteboard.gaps import Gap
from scheduler.whiteboard.masks import block, first, last

TRIES = 5  # starts tried in one gap before it is given up


@dataclass(frozen=True, slots=True)
class Placing:
    """One place for one charge: joining a run, or opening one (run without the charge yet)."""

    lot: Lot
    charge: DraftCharge
    joins: DraftRun | None
    opens: DraftRun | None
    cleaned: tuple[DraftRun, int | None] | None  # the run before, and its wash-down from now on

    @property
    def run(self) -> DraftRun:
        found = self.joins or self.opens
        assert found is not None
        return found

    @property
    def size(self) -> int:
        return self.charge.recipe.racks


@dataclass(frozen=True, slots=True)
class Taste:
    """How whoever fills the board chooses: between places, between starts, between cuts."""

    cost: Callable[[Board, Placing], float]
    start: Pick = first
    cut: Pick = last


def put(board: Board, placing: Placing) -> None:
    """Put a charge where it fits."""
    if placing.joins is not None:
        board.add_charge(placing.joins, placing.charge)
        return
    if placing.cleaned is not None:
        board.clean_after(*placing.cleaned)
    assert placing.opens is not None
    board.add_run(replace(placing.opens, charges=(placing.charge,)))


class Rooms:
    """Where a lot may go on a board as it is now: runs that it may join, gaps for a run with the
    starts there, and what its preparation finds free; whatever the size of its charge."""

    def __init__(self, board: Board, lot: Lot) -> None:
        self.board, self.lot, self.free = board, lot, Free(board, lot)
        self.runs: list[DraftRun] = []
        self.gaps: list[tuple[DryerSpec, Gap, int]] = []
        for index in lot.dryers:
            dryer = board.problem.dryers[index]
            self.runs += [run for run in board.runs[index] if joinable(board, run, lot)]
            for gap in board.gaps(dryer, lot.group):
                starts = run_starts(board, dryer, lot, gap)
                if starts:
                    self.gaps.append((dryer, gap, starts))

    def cheapest(self, taste: Taste, sizes: list[int]) -> Placing | None:
        """The best of all places for a charge of one of these sizes."""
        candidates = [
            placing
            for size in sizes
            if size in self.lot.sizes
            for placing in self.placings(size, taste)
        ]
        return min(candidates, key=lambda each: taste.cost(self.board, each), default=None)

    def placings(self, size: int, taste: Taste) -> Iterator[Placing]:
        """Places for a charge of that many racks: in every run that can take it, in every gap."""
        runs = [run for run in self.runs if size <= self._left(run)]
        gaps = [each for each in self.gaps if size <= each[0].racks]
        starts = 0
        for run in runs:
            starts |= 1 << run.start
        for _, _, possible in gaps:
            starts |= possible
        found = ways(self.free, self.lot.sizes[size], starts) if starts else []
        if not found:
            return
        for run in runs:
            yield from _join(self.board, run, found, (self.lot, taste))
        for dryer, gap, possible in gaps:
            yield from _open(self.board, (self.lot, dryer, gap), (possible, found), taste)

    def piece_sizes(self, left: int, *, last_piece: bool) -> list[int]:
        """Sizes worth trying: all that is left, what a dryer or the room in a run holds, and half
        of what is left."""
        lot, dryers = self.lot, self.board.problem.dryers
        room = {left, (left + 1) // 2, *(dryers[index].racks for index in lot.dryers)}
        room.update(map(self._left, self.runs))
        sizes = set()
        for size in room:
            fits = min(size, left)
            if not last_piece and 0 < left - fits < lot.least_racks:
                fits = left - lot.least_racks
            if fits >= lot.least_racks and fits in lot.sizes:
                sizes.add(fits)
        return sorted(sizes, reverse=True)

    def _left(self, run: DraftRun) -> int:
        return self.board.problem.dryers[run.dryer].racks - run.racks


def joinable(board: Board, run: DraftRun, lot: Lot) -> bool:
    """Whether a run that is on the board tolerates the lot beside what it holds (rules 4 and 6),
    and wishes let it stand there."""
    if lot.drying > run.drying or not lot.earliest <= run.start <= lot.latest:
        return False
    if not lot.may_start(*run.key):
        return False
    if board.problem.lots[run.charges[0].lot].group != lot.group:
        return False
    coolest, hottest = board.problem.climate(run)
    return max(coolest, lot.coolest) <= min(hottest, lot.hottest) and lot.index not in [
        charge.lot for charge in run.charges
    ]


def _join(
    board: Board, run: DraftRun, found: list[Feeding], whose: tuple[Lot, Taste]
) -> Iterator[Placing]:
    lot, taste = whose
    dryer = board.problem.dryers[run.dryer]
    for way, feeds in found:
        if feeds >> run.start & 1:
            after = after_dryer(board, lot, way.recipe, run.unload + dryer.unload)
            if after is not None:
                made = way.charge(lot, run.start, taste.cut, board.problem.home)
                charge = replace(made, check=after[0], pack=after[1])
                yield Placing(lot, charge, run, None, None)
            return


def _open(
    board: Board, where: tuple[Lot, DryerSpec, Gap], how: tuple[int, list[Feeding]], taste: Taste
) -> Iterator[Placing]:
    starts, found = how
    possible = 0
    for _, feeds in found:
        possible |= feeds & starts
    for _ in range(TRIES):
        if not possible:
            return
        start = taste.start(possible)
        way = next(way for way, feeds in found if feeds >> start & 1)
        placing = _opened(board, way, where, (start, taste.cut))
        if placing is not None:
            yield placing
            return
        possible &= ~block(max(0, start - 5), 11)


def _opened(
    board: Board, way: Way, where: tuple[Lot, DryerSpec, Gap], when: tuple[int, Pick]
) -> Placing | None:
    (lot, dryer, gap), (start, pick) = where, when
    problem = board.problem
    made = way.charge(lot, start, pick, problem.home)
    possible, cleaned = _cleaned(board, dryer, gap, (start, hand_ticks(lot, made)))
    for unload in unloads(board, dryer, start + lot.drying) if possible else ():
        run = DraftRun(dryer.index, start, lot.drying, unload, None, ())
        closes = problem.staffed_time(unload) + dryer.turn_round
        if gap.closes is not None and closes > gap.closes:
            return None
        if gap.wash_after:
            assert gap.after is not None
            at = wash_down(board, dryer, run, gap.after.start)
            if at is None:
                continue
            run = replace(run, wash_down=at)
        washing = 0 if run.wash_down is None else block(run.wash_down, dryer.wash_down)
        after = after_dryer(board, lot, way.recipe, unload + dryer.unload, but=washing)
        if after is None:
            continue
        charge = replace(made, check=after[0], pack=after[1])
        return Placing(lot, charge, None, run, cleaned)
    return None


def _cleaned(
    board: Board, dryer: DryerSpec, gap: Gap, new: tuple[int, int]
) -> tuple[bool, tuple[DraftRun, int | None] | None]:
    """Whether a new run may start then, and what becomes of the wash-down of the run before."""
    before, (start, busy) = gap.before, new
    if before is None or not (gap.wash_before or before.wash_down is not None):
        return True, None
    if before.key in board.problem.firm.wash_downs:
        return True, None
    if not gap.wash_before:
        return True, (before, None)
    at = wash_down(board, dryer, before, start, but=busy)
    return at is not None, (before, at)


def hand_ticks(lot: Lot, charge: DraftCharge) -> int:
    """Ticks in which the preparation of a charge may need kitchen hands."""
    recipe = charge.recipe
    busy = block(charge.steam, recipe.steam) if recipe.steamers else 0
    if lot.alone or len(recipe.tables) > 1:
        busy |= block(charge.wash, recipe.wash) | block(charge.cut, recipe.cut)
    return busy


def place_lot(board: Board, lot: Lot, taste: Taste) -> Board:
    """The board with as much of the lot on it as fits; the board itself where nothing does."""
    if not lot.sizes:
        return board
    rooms = Rooms(board, lot)
    whole = rooms.cheapest(taste, [lot.parts[0] if lot.parts else lot.racks])
    if whole is not None:
        put(board, whole)
        return board
    if lot.parts:
        return _in_equal_parts(board, lot, taste)
    if lot.most_charges > 1:
        _in_pieces(rooms, taste)
    return board


def _in_equal_parts(board: Board, lot: Lot, taste: Taste) -> Board:
    for count in (2, 3):
        twin = board.copy()
        for _ in range(count):
            part = Rooms(twin, lot).cheapest(taste, [lot.parts[count - 1]])
            if part is None:
                break
            put(twin, part)
        else:
            return twin
    return board


def _in_pieces(rooms: Rooms, taste: Taste) -> None:
    """A lot that has no place whole."""
    board, lot = rooms.board, rooms.lot
    left = lot.racks
    for piece in range(lot.most_charges):
        sizes = rooms.piece_sizes(left, last_piece=piece == lot.most_charges - 1)
        placing = rooms.cheapest(taste, [size for size in sizes if size < lot.racks])
        if placing is None:
            return
        put(board, placing)
        left -= placing.size
        if left < lot.least_racks:
            return
        rooms = Rooms(board, lot)
