"""Where a charge still fits: its preparation, its place in a run, and what follows the dryer."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from scheduler.home import Home, as_it_was
from scheduler.problem import FOREVER, DraftCharge, DraftRun, DryerSpec, Lot, Recipe
from scheduler.whiteboard.board import Board, room
from scheduler.whiteboard.gaps import Gap
from scheduler.whiteboard.masks import block, first, last, lasting, reached, ticks

Pick = Callable[[int], int]  # one tick of a mask


@dataclass(frozen=True, slots=True)
class Way:
    """One way to prepare a charge now: washing and cutting may start at any tick of the masks."""

    recipe: Recipe
    washes: int
    cuts: int
    steam_after: int  # from the start of the cut
    pair_attends: bool

    @property
    def soonest(self) -> int:
        return self.steam_after + self.recipe.ready_from

    @property
    def longest(self) -> int:
        return self.steam_after + self.recipe.ready_to

    def starts(self, within: int) -> int:
        """Run starts among those given that this way can feed."""
        most = min(self.longest, self.soonest + within.bit_length())
        return reached(self.cuts, self.soonest, most) & within

    def charge(self, lot: Lot, start: int, pick: Pick, home: Home | None) -> DraftCharge:
        """The charge for a run that starts then, washed as late as may be; in a mend washed, and on
        a later day cut, when it was to be, if it may."""
        opens = max(0, start - self.longest)
        brought, returned = (home.bringing, home.returning) if home else ({}, {})
        cuts = self.cuts & block(opens, start - self.soonest + 1 - opens)
        cut = as_it_was(returned.get(lot.index, ()), cuts, pick)
        washes = self.washes & block(0, cut - self.recipe.wash + 1)
        wash = as_it_was(brought.get(lot.index, ()), washes, last)
        steam = cut + self.steam_after
        return DraftCharge(lot.index, self.recipe, wash, cut, steam, self.pair_attends)


Feeding = tuple[Way, int]  # and the run starts that it feeds


def ways(free: Free, recipes: tuple[Recipe, ...], starts: int) -> list[Feeding]:
    """Ways to prepare a charge of one size with what is still free, and which of the run starts
    each feeds that those before it do not; with hands at a further table only where there is none
    with the pair alone."""
    if free.problem.rules.easier:
        ready = free.board.calendars.starts & ~block(0, free.lot.earliest)
        way = Way(recipes[0], ready, ready, 0, False)
        return [(way, feeds)] if (feeds := way.starts(starts)) else []
    for crews in (1, 2):
        found, some = list[Feeding](), False
        for recipe in (each for each in recipes if len(each.tables) == crews):
            for way in _ways(free, recipe, starts):
                some = True
                if feeds := way.starts(starts):
                    found.append((way, feeds))
                    starts &= ~feeds
                if not starts:
                    return found
        if some:
            return found
    return []


def _ways(free: Free, recipe: Recipe, starts: int) -> Iterator[Way]:
    """The ways of a recipe that may feed one of the starts."""
    rules, staffed = free.problem.rules, free.problem.staffed
    washes = free.washes(recipe)
    if not washes:
        return
    sooner = max(first(washes) + recipe.wash, first(starts) - recipe.steam_to - recipe.ready_to)
    later = last(starts) - recipe.steam_from - recipe.ready_from
    cuts = free.cuts(recipe) & block(sooner, later + 1 - sooner)
    if not cuts:
        return
    if not recipe.steamers:
        yield Way(recipe, washes, cuts & lasting(staffed, recipe.ready_from), 0, False)
        return
    for steam_after in _steam_offsets(recipe):
        if len(recipe.tables) > 1 and rules.hands and steam_after < recipe.cut:
            continue  # the hands at the further table cannot mind a steamer as well
        for pair_attends in (False, True):
            fits = free.steamed(recipe, steam_after, pair_attends=pair_attends)
            if cuts & fits:
                yield Way(recipe, washes, cuts & fits, steam_after, pair_attends)


def _steam_offsets(recipe: Recipe) -> Iterator[int]:
    """A few starts of steaming after the start of the cut, the earliest first."""
    latest = min(recipe.steam_to, recipe.steam_from + recipe.cut + 12)
    yield from sorted({recipe.steam_from, max(recipe.steam_from, min(latest, recipe.cut)), latest})


class Free:
    """What a lot finds free: washing and cutting, steamers, tub, power and attendants; asked by its
    recipes again and again."""

    def __init__(self, board: Board, lot: Lot) -> None:
        self.board, self.lot, self.problem = board, lot, board.problem
        self.present = board.problem.staffed & ~board.pairs[lot.grower]
        come = self.present & ~block(0, max(lot.arrives, board.problem.now))
        alone = lot.alone and board.problem.rules.hands
        self.helped = come & board.hands_free(1) if alone else come
        self._washes: dict[int, int] = {}
        self._cuts: dict[tuple[tuple[int, ...], int, int], int] = {}
        self._stationed: dict[tuple[tuple[int, ...], int, int, int, int], int] = {}
        self._attended: dict[tuple[int, int, int], int] = {}

    def washes(self, recipe: Recipe) -> int:
        """Starts of washing."""
        if recipe.wash not in self._washes:
            if self.problem.rules.tables:
                found = room(self.board.washing, recipe.wash, self.helped)
            else:
                found = lasting(self.helped, recipe.wash)
            self._washes[recipe.wash] = found
        return self._washes[recipe.wash]

    def cuts(self, recipe: Recipe) -> int:
        """Starts of a cut at free tables, change-over included, with everyone there and crates
        enough before."""
        key = (recipe.tables, recipe.cut, recipe.crates)
        if key not in self._cuts:
            self._cuts[key] = self._find_cuts(recipe)
        return self._cuts[key]

    def _find_cuts(self, recipe: Recipe) -> int:
        board, problem, lot = self.board, self.problem, self.lot
        cuts = lasting(self.helped, recipe.cut)
        if problem.rules.tables:
            for kind in set(recipe.tables):
                stay = recipe.cut + lot.change_over
                cuts &= room(board.tables[kind], stay, problem.staffed, recipe.tables.count(kind))
        extra = 2 * (len(recipe.tables) - 1)
        if extra and problem.rules.hands:
            cuts &= lasting(board.hands_free(extra + lot.alone), recipe.cut)
        if problem.rules.cold_store and recipe.crates:
            full = ~board.crates.at_most(problem.crates - recipe.crates) & ~block(0, lot.at_door)
            full &= board.calendars.everywhere
            if full:
                cuts &= block(0, first(full) + 1)
        return cuts

    def steamed(self, recipe: Recipe, after: int, *, pair_attends: bool) -> int:
        """Starts of the cut for which steaming that long after it finds all it needs."""
        alone = max(0, min(recipe.steam, recipe.cut - after))
        if pair_attends and (
            self.lot.alone or alone == recipe.steam or not self.problem.rules.hands
        ):
            return 0
        free = self._stations(recipe)
        if self.problem.rules.hands:
            free &= self._minded(recipe, alone if pair_attends else recipe.steam)
            if self.lot.alone and alone:  # a hand at her side too, until her cut is done
                free &= lasting(self.board.hands_free(1 + len(recipe.steamers)), alone)
        cuts = free >> after
        if pair_attends and cuts:
            cuts &= lasting(self.present, recipe.steam - alone) >> (after + alone)
        return cuts

    def _stations(self, recipe: Recipe) -> int:
        key = (recipe.steamers, recipe.steam, recipe.ready_from, recipe.tub, recipe.tub_g)
        if key not in self._stationed:
            board, problem = self.board, self.problem
            free = lasting(problem.staffed, recipe.ready_from)  # to the last rack
            if problem.rules.steamers:
                for kind in set(recipe.steamers):
                    wanted, levels = recipe.steamers.count(kind), board.steamers[kind]
                    free &= room(levels, recipe.steam, problem.staffed, wanted)
                free &= lasting(board.tub.at_most(problem.tub_g - recipe.tub_g), recipe.tub)
            if problem.rules.power:
                watts = sum(problem.steamer_kinds[kind].watts for kind in recipe.steamers)
                free &= lasting(board.watts.at_most(problem.supply_watts - watts), recipe.steam)
            self._stationed[key] = free
        return self._stationed[key]

    def _minded(self, recipe: Recipe, by_hands: int) -> int:
        """Starts of steaming with a hand at every steamer for the first so many ticks, and two
        in the house."""
        key = (len(recipe.steamers), recipe.steam, by_hands)
        if key not in self._attended:
            self._attended[key] = self._find_minded(*key)
        return self._attended[key]

    def _find_minded(self, wanted: int, steam: int, by_hands: int) -> int:
        board = self.board
        minded = (
            lasting(board.hands_free(wanted), by_hands) if by_hands else board.calendars.everywhere
        )
        if by_hands == steam:
            return minded & lasting(self.problem.two_on_shift, by_hands)
        if wanted > 1:
            minded &= lasting(board.hands_free(wanted - 1), steam - by_hands) >> by_hands
        return minded


def run_starts(board: Board, dryer: DryerSpec, lot: Lot, gap: Gap) -> int:
    """Starts of a new run of one lot in a gap between runs, hands and washing still to be found."""
    earliest, latest = max(gap.opens, lot.earliest), lot.latest
    if gap.closes is not None:
        latest = min(latest, board.calendars.latest_start(dryer, lot.drying, gap.closes))
    if latest < earliest:
        return 0
    window = block(earliest, latest + 1 - earliest)
    starts = board.calendars.legal_starts(dryer, lot.drying) & window & lot.starts_on(dryer.index)
    if starts and board.problem.rules.power:
        starts &= board.powered(dryer, lot.drying)
    return starts


def unloads(board: Board, dryer: DryerSpec, end: int) -> Iterator[int]:
    """When a run that ends then may be unloaded: first where a second hand stays free, then the
    earliest."""
    problem = board.problem
    release = problem.release(end)
    if release is None:
        return
    if problem.rules.easier:
        yield release
        return
    window = block(release, problem.unloaded_within - dryer.unload + 1)
    window &= block(0, next_stop(dryer, release) - dryer.unload + 1)
    free = lasting(
        problem.staffed & (board.hands_free(1) if problem.rules.hands else -1), dryer.unload
    )
    calm = window & free & lasting(board.hands_free(2), dryer.unload)
    yield from ticks(calm)
    yield from ticks(window & free & ~calm)


def next_stop(dryer: DryerSpec, tick: int) -> int:
    """When a dryer stops next, from a tick on."""
    return min((stopped for stopped, _ in dryer.down if stopped >= tick), default=FOREVER)


def wash_down(
    board: Board, dryer: DryerSpec, run: DraftRun, next_start: int, *, but: int = 0
) -> int | None:
    """A time for the wash-down between a run and the next start on its dryer; None if there is
    none.

    but: ticks that the hands are about to be needed elsewhere.
    """
    problem = board.problem
    begin = max(run.unload + dryer.unload, problem.now)
    rest = dryer.turn_round - dryer.unload
    finish = problem.at_staffed_time(max(0, problem.staffed_time(next_start) - rest))
    finish = min(finish, next_stop(dryer, run.unload))
    free = problem.staffed & ((board.hands_free(1) & ~but) if problem.rules.hands else -1)
    starts = lasting(free & block(begin, finish - begin), dryer.wash_down)
    return first(starts) if starts else None


def after_dryer(
    board: Board, lot: Lot, recipe: Recipe, unloaded: int, *, but: int = 0
) -> tuple[int, int] | None:
    """Start of the dry check, and of packing (in a mend when it was to be, if it may), for a charge
    unloaded by then; None if there is no time.

    but: ticks that one more hand is about to need.
    """
    problem = board.problem
    if not problem.rules.packing:
        return 0, 0
    hands = -1
    if problem.rules.hands:
        hands = (board.hands_free(1) & ~but) | board.hands_free(2)
    checks = lasting(
        problem.staffed & hands & ~block(0, unloaded + problem.check_after), problem.check
    )
    if not checks:
        return None
    check = first(checks)
    ready = max(check + problem.check, unloaded + lot.rest)
    present = (
        problem.staffed
        & ~board.pairs[lot.grower]
        & block(ready, unloaded + lot.pack_within - ready)
    )
    packs = room(board.benches, recipe.pack, present)
    was = problem.home.packing.get(lot.index, ()) if problem.home else ()
    return (check, as_it_was(was, packs, first)) if packs else None
