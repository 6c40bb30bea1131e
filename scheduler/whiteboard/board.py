"""The kitchen's resources as they fill up: what is used when, by which charges and runs."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from scheduler.problem import Day, Draft, DraftCharge, DraftRun, DryerSpec, Key, Lot, Problem
from scheduler.whiteboard.calendars import Calendars
from scheduler.whiteboard.gaps import Gap, gaps
from scheduler.whiteboard.masks import Profile, block, lasting


@dataclass(slots=True)
class Known:
    """What was asked of a board once and still holds. Copies share it; whoever changes what it
    came from puts an empty one in its place.

    gaps: by dryer and group; powered: by draws and hours; hands_free: by how many.
    """

    gaps: list[dict[int, list[Gap]]]
    powered: dict[tuple[int, int, int, int], int] = field(default_factory=dict)
    hands_free: dict[int, int] = field(default_factory=dict)

    def copy(self) -> Known:
        return Known(list(self.gaps), self.powered, self.hands_free)


class Board:
    """A half-filled week. Everything placed is remembered twice: as runs, and as ticks in use.

    overfull: whether something was put where nothing was free, as in a plan that outages have
    caught up with; what is free once it is gone can then not be told.
    """

    def __init__(self, problem: Problem, calendars: Calendars) -> None:
        everywhere = calendars.everywhere
        self.problem, self.calendars = problem, calendars
        self.runs: list[list[DraftRun]] = [[] for _ in problem.dryers]
        self.tables = [
            counted(problem.down.get(each, 0) for each in kind.ids) for kind in problem.table_kinds
        ]
        self.washing = counted(problem.down.get(each, 0) for each in problem.wash_line_ids)
        self.benches = counted(problem.down.get(each, 0) for each in problem.bench_ids)
        self.steamers = [
            counted(problem.down.get(each, 0) for each in kind.ids)
            for kind in problem.steamer_kinds
        ]
        self.pairs = list(problem.away)
        self.hands = Profile(everywhere)
        self.watts = Profile(everywhere)
        self.tub = Profile(everywhere)
        self.crates = Profile(everywhere)
        self.tub.add(problem.down.get(problem.tub_id, 0), problem.tub_g)
        self.crates.add(problem.down.get(problem.cold_store_id, 0), problem.crates)
        self.loose: set[Key] = set()
        self.known = Known([{} for _ in problem.dryers])
        self.overfull = False
        for start, end, watts in problem.background_watts:
            self.watts.add(block(start, end - start), watts)

    @classmethod
    def begun(cls, problem: Problem, calendars: Calendars) -> Board:
        """With what is firm on it."""
        board = cls(problem, calendars)
        for run in problem.firm.draft.runs:
            board.add_run(run)
        return board

    def copy(self) -> Board:
        twin = Board.__new__(Board)
        twin.problem, twin.calendars = self.problem, self.calendars
        twin.runs = [list(runs) for runs in self.runs]
        twin.tables = [list(kind) for kind in self.tables]
        twin.washing, twin.benches = list(self.washing), list(self.benches)
        twin.steamers = [list(kind) for kind in self.steamers]
        twin.pairs = list(self.pairs)
        twin.hands, twin.watts = self.hands.copy(), self.watts.copy()
        twin.tub, twin.crates = self.tub.copy(), self.crates.copy()
        twin.loose = set(self.loose)
        twin.known, twin.overfull = self.known.copy(), self.overfull
        return twin

    def loosened(self, days: Iterable[Day]) -> Board:
        """The same with what is unloaded on those days to be unloaded, checked and packed when it
        suits, unless it is firm: hands are few in the first hour."""
        problem, among = self.problem, list(days)
        twin = Board(problem, self.calendars)
        for run in self.draft().runs:
            theirs = any(day.open <= run.unload <= day.close for day in among)
            firm = any(charge.lot in problem.firm.lots for charge in run.charges)
            twin.add_run(run, loose=theirs and not firm and not problem.rules.easier)
        return twin

    def draft(self) -> Draft:
        return Draft(tuple(run for runs in self.runs for run in runs))

    def hands_free(self, wanted: int) -> int:
        """Ticks when so many kitchen hands are on shift and free."""
        if wanted not in self.known.hands_free:
            on_shift = self.problem.hands
            mask = 0
            for used, where in self.hands.levels.items():
                if used + wanted < len(on_shift):
                    mask |= where & on_shift[used + wanted]
            self.known.hands_free[wanted] = mask
        return self.known.hands_free[wanted]

    def gaps(self, dryer: DryerSpec, group: int) -> list[Gap]:
        """The gaps on a dryer in which a run of the group may start, in order of time."""
        known = self.known.gaps[dryer.index]
        if group not in known:
            known[group] = list(gaps(self.problem, dryer, self.runs[dryer.index], group))
        return known[group]

    def powered(self, dryer: DryerSpec, drying: int) -> int:
        """Starts from which the supply bears a run of that length: full draw first, then the
        later share."""
        key = (dryer.watts, dryer.late_watts, dryer.full_draw, drying)
        if key not in self.known.powered:
            supply, full = self.problem.supply_watts, min(drying, dryer.full_draw)
            first = lasting(self.watts.at_most(supply - dryer.watts), full)
            then = lasting(self.watts.at_most(supply - dryer.late_watts), max(1, drying - full))
            self.known.powered[key] = first & (then >> full)
        return self.known.powered[key]

    def use_hands(self, start: int, length: int, wanted: int = 1) -> None:
        """Take so many hands for so long, or give them back (below 0)."""
        if self.problem.rules.hands and wanted:
            self.known.hands_free = {}
            self.hands.add(block(start, length), wanted)

    def add_run(self, run: DraftRun, *, loose: bool = False) -> None:
        """Put a run on its dryer, with its draw, its hands and everything about its charges.

        loose: but nothing is taken yet for its unloading, dry checks and packing.
        """
        runs = self._runs_to_change(run.dryer)
        runs.append(run)
        runs.sort(key=lambda each: each.start)
        if loose:
            self.loose.add(run.key)
        self._use_dryer(run)
        for charge in run.charges:
            self.use(charge, loose=loose)

    def add_charge(self, run: DraftRun, charge: DraftCharge) -> None:
        """Put one more charge into a run that is on the board."""
        self._put_in_place(run, replace(run, charges=(*run.charges, charge)))
        self.use(charge)

    def clean_after(self, run: DraftRun, start: int | None) -> None:
        """Give a run that is on the board its wash-down, or none, in place of what it had."""
        self._put_in_place(run, replace(run, wash_down=start))
        self._wash_down(run, -1)
        self._wash_down(replace(run, wash_down=start), 1)

    def turn_into(self, runs: Iterable[DraftRun]) -> None:
        """Have just these runs on it; none that was there may be loose, nor the board overfull.

        What stays is not touched: with few changes far sooner done than put up afresh. All that
        goes is taken off before anything comes, for no place can be used more than is counted.
        """
        wanted = {run.key: run for run in runs}
        for run in self.draft().runs:
            stays = _common(run, wanted.get(run.key))
            if stays is None:
                self._take_off(run)
            elif stays != run:
                self._exchange(run, stays)
        here = {run.key: run for run in self.draft().runs}
        for run in wanted.values():
            if run.key not in here:
                self.add_run(run)
            elif here[run.key] != run:
                self._exchange(here[run.key], run)

    def _take_off(self, run: DraftRun) -> None:
        self._runs_to_change(run.dryer).remove(run)
        self._use_dryer(run, -1)
        for charge in run.charges:
            self.use(charge, times=-1)

    def _exchange(self, run: DraftRun, other: DraftRun) -> None:
        """A run for one that differs from it in charges and wash-down only."""
        self._put_in_place(run, other)
        self._wash_down(run, -1)
        self._wash_down(other, 1)
        for charge in run.charges:
            if charge not in other.charges:
                self.use(charge, times=-1)
        for charge in other.charges:
            if charge not in run.charges:
                self.use(charge)

    def _put_in_place(self, run: DraftRun, other: DraftRun) -> None:
        runs = self._runs_to_change(run.dryer)
        runs[runs.index(run)] = other

    def _runs_to_change(self, dryer: int) -> list[DraftRun]:
        self.known.gaps[dryer] = {}
        return self.runs[dryer]

    def _use_dryer(self, run: DraftRun, times: int = 1) -> None:
        """Its draw and the hands that unload it and wash it down."""
        dryer = self.problem.dryers[run.dryer]
        full = min(run.drying, dryer.full_draw)
        self._draw(block(run.start, full), times * dryer.watts)
        self._draw(block(run.start + full, run.drying - full), times * dryer.late_watts)
        if run.key not in self.loose and not self.problem.rules.easier:
            self.use_hands(run.unload, dryer.unload, times)
        self._wash_down(run, times)

    def _wash_down(self, run: DraftRun, times: int) -> None:
        if run.wash_down is not None:
            self.use_hands(run.wash_down, self.problem.dryers[run.dryer].wash_down, times)

    def _draw(self, where: int, watts: int) -> None:
        self.known.powered = {}
        self.watts.add(where, watts)

    def use(self, charge: DraftCharge, *, loose: bool = False, times: int = 1) -> None:
        """Take what the preparation and, unless it is loose, the dry check and the packing of a
        charge need. times: -1 to give it back."""
        if self.problem.rules.easier:
            return
        lot, recipe = self.problem.lots[charge.lot], charge.recipe
        self._use_tables(lot, charge, times)
        if lot.alone:
            self.use_hands(charge.wash, recipe.wash, times)
            self.use_hands(charge.cut, recipe.cut, times)
        self.use_hands(charge.cut, recipe.cut, 2 * (len(recipe.tables) - 1) * times)
        by_pair = block(charge.wash, recipe.wash) | block(charge.cut, recipe.cut)
        self._use_pair(lot, by_pair, times)
        waiting = block(lot.at_door, charge.cut - lot.at_door)
        self.crates.add(waiting, recipe.crates * times)
        if recipe.steamers:
            self._use_steamers(lot, charge, times)
        if self.problem.rules.packing and not loose:
            self.use_hands(charge.check, self.problem.check, times)
            packing = block(charge.pack, recipe.pack)
            self._use_pair(lot, packing, times)
            self._take(self.benches, packing, times)

    def _take(self, levels: list[int], mask: int, times: int) -> None:
        self.overfull |= bool(_count(levels, mask, times))

    def _use_pair(self, lot: Lot, mask: int, times: int) -> None:
        if not self.problem.rules.hands:
            return
        if times > 0:
            self.overfull |= bool(self.pairs[lot.grower] & mask)
            self.pairs[lot.grower] |= mask
        else:
            self.pairs[lot.grower] &= ~mask

    def _use_tables(self, lot: Lot, charge: DraftCharge, times: int) -> None:
        if not self.problem.rules.tables:
            return
        recipe = charge.recipe
        self._take(self.washing, block(charge.wash, recipe.wash), times)
        for kind in recipe.tables:
            stay = block(charge.cut, recipe.cut + lot.change_over)
            self._take(self.tables[kind], stay, times)

    def _use_steamers(self, lot: Lot, charge: DraftCharge, times: int) -> None:
        recipe, steaming = charge.recipe, block(charge.steam, charge.recipe.steam)
        cut_done = charge.cut + recipe.cut
        attendants = len(recipe.steamers)
        if charge.pair_attends:
            alone = max(0, min(recipe.steam, cut_done - charge.steam))
            self.use_hands(charge.steam, alone, attendants * times)
            rest = charge.steam + alone, recipe.steam - alone
            self.use_hands(*rest, (attendants - 1) * times)
            self._use_pair(lot, block(*rest), times)
        else:
            self.use_hands(charge.steam, recipe.steam, attendants * times)
        for kind in recipe.steamers:
            self._draw(steaming, self.problem.steamer_kinds[kind].watts * times)
            if self.problem.rules.steamers:
                self._take(self.steamers[kind], steaming, times)
        if self.problem.rules.steamers:
            self.tub.add(block(charge.steam, recipe.tub), recipe.tub_g * times)


def _common(run: DraftRun, other: DraftRun | None) -> DraftRun | None:
    """What two runs at one time on one dryer have in common; None where that is no run."""
    if other is None or (run.drying, run.unload) != (other.drying, other.unload):
        return None
    charges = tuple(charge for charge in run.charges if charge in other.charges)
    wash_down = run.wash_down if run.wash_down == other.wash_down else None
    return replace(run, charges=charges, wash_down=wash_down) if charges else None


def counted(used: Iterable[int]) -> list[int]:
    """Like places in use, counted: mask n has the ticks at which more than n of them are used.

    Which place a charge gets is settled when the plan is expanded; as long as no tick uses more
    than there are, it can be (intervals coloured in order of start).
    """
    places = list(used)
    levels = [0] * len(places)
    for mask in places:
        _count(levels, mask, 1)
    return levels


def _count(levels: list[int], wanted: int, times: int) -> int:
    """Use one more of several like places then, or one less (times below 0); the ticks at which
    there was none left."""
    if times > 0:
        for level, used in enumerate(levels):
            levels[level] |= wanted
            wanted &= used
    else:
        for level in range(len(levels) - 1, -1, -1):
            given = levels[level] & wanted
            levels[level] ^= given
            wanted ^= given
    return wanted


def room(levels: list[int], length: int, within: int, count: int = 1) -> int:
    """Starts from which so many of several like places are free for so long."""
    if count > len(levels):
        return 0
    return lasting(within & ~levels[-count], length)
