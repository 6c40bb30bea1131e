"""The kitchen's resources as they fill up: what is used when, by which charges and runs."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from scheduler.problem import Day, Draft, DraftCharge, DraftRun, DryerSpec, Key, Lot, Problem
from scheduler.whiteboard.masks import Profile, block, lasting, span, ticks


class Calendars:
    """Masks that depend on the problem alone, made once."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.everywhere = (1 << problem.horizon) - 1
        self.starts = self.staffed = 0
        for day in problem.days:
            self.staffed |= block(day.open, day.close - day.open)
            if day.plans:
                self.starts |= span(day.open, day.close)
        self.starts &= ~block(0, problem.now)
        self._legal: dict[tuple[int, int], int] = {}
        self._latest: dict[tuple[int, int, int], int] = {}

    def legal_starts(self, dryer: DryerSpec, drying: int) -> int:
        """Starts of a run of that length which keep rules 1 to 3 on a dryer that is otherwise
        free."""
        key = (dryer.index, drying)
        if key not in self._legal:
            self._legal[key] = self._find(dryer, drying)
        return self._legal[key]

    def latest_start(self, dryer: DryerSpec, drying: int, closes: int) -> int:
        """The latest start from which a run is out, and its dryer turned round, at a staffed
        time."""
        key = (dryer.index, drying, closes)
        if key not in self._latest:
            self._latest[key] = self._search_latest(dryer, drying, closes)
        return self._latest[key]

    def _search_latest(self, dryer: DryerSpec, drying: int, closes: int) -> int:
        problem = self.problem
        low, high = -1, problem.horizon - drying - 1
        while low < high:
            middle = (low + high + 1) // 2
            day = problem.next_open(middle + drying)
            at = problem.horizon if day is None else max(middle + drying, day.open)
            if problem.staffed_time(at) + dryer.turn_round <= closes:
                low = middle
            else:
                high = middle - 1
        return low

    def _find(self, dryer: DryerSpec, drying: int) -> int:
        problem = self.problem
        free_from = problem.at_staffed_time(dryer.free_from)
        if free_from >= problem.horizon:
            return 0
        mask = self.starts & ~block(0, free_from) & (self._legal_ends(dryer.unload) >> drying)
        if not dryer.unattended:
            mask &= lasting(self.staffed, drying)
        if dryer.down:
            mask = sum(1 << at for at in ticks(mask) if self._is_up(dryer, at, at + drying))
        return mask

    def _legal_ends(self, unload: int) -> int:
        """Rule 3: ends of a run that is released in time and unloaded while somebody is there."""
        problem, mask, closed = self.problem, 0, 0
        opens_next = [day.open for day in problem.days[1:]] + [problem.horizon]
        for day, opens in zip(problem.days, opens_next, strict=True):
            if day.plans and day.open + unload <= day.close:
                held = max(closed, day.open - problem.cool_hold)  # from here on to the opening
                latest = min(day.close - max(unload, not problem.rules.easier), opens - 1)
                mask |= block(held, latest + 1 - held)
            closed = day.close
        return mask

    def _is_up(self, dryer: DryerSpec, start: int, end: int) -> bool:
        busy_to = (self.problem.release(end) or end) + dryer.unload
        return all(busy_to <= first or back <= start for first, back in dryer.down)


class Board:
    """A half-filled week. Everything placed is remembered twice: as runs, and as ticks in use."""

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
        self.draws: dict[tuple[int, int, int, int], int] = {}
        self.loose: set[Key] = set()
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
        twin.draws, twin.loose = dict(self.draws), set(self.loose)
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
        on_shift = self.problem.hands
        mask = 0
        for used, where in self.hands.levels.items():
            if used + wanted < len(on_shift):
                mask |= where & on_shift[used + wanted]
        return mask

    def powered(self, dryer: DryerSpec, drying: int) -> int:
        """Starts from which the supply bears a run of that length: full draw first, then the
        later share."""
        key = (dryer.watts, dryer.late_watts, dryer.full_draw, drying)
        if key not in self.draws:
            supply, full = self.problem.supply_watts, min(drying, dryer.full_draw)
            first = lasting(self.watts.at_most(supply - dryer.watts), full)
            then = lasting(self.watts.at_most(supply - dryer.late_watts), max(1, drying - full))
            self.draws[key] = first & (then >> full)
        return self.draws[key]

    def use_hands(self, start: int, length: int, wanted: int = 1) -> None:
        if self.problem.rules.hands:
            self.hands.add(block(start, length), wanted)

    def add_run(self, run: DraftRun, *, loose: bool = False) -> None:
        """Put a run on its dryer, with its draw, its hands and everything about its charges.

        loose: but nothing is taken yet for its unloading, dry checks and packing.
        """
        dryer = self.problem.dryers[run.dryer]
        runs = self.runs[run.dryer]
        runs.append(run)
        runs.sort(key=lambda each: each.start)
        full = min(run.drying, dryer.full_draw)
        self.draws.clear()
        self.watts.add(block(run.start, full), dryer.watts)
        self.watts.add(block(run.start + full, run.drying - full), dryer.late_watts)
        if loose:
            self.loose.add(run.key)
        elif not self.problem.rules.easier:
            self.use_hands(run.unload, dryer.unload)
        if run.wash_down is not None:
            self.use_hands(run.wash_down, dryer.wash_down)
        for charge in run.charges:
            self.use(charge, loose=loose)

    def add_charge(self, run: DraftRun, charge: DraftCharge) -> None:
        """Put one more charge into a run that is on the board."""
        runs = self.runs[run.dryer]
        runs[runs.index(run)] = replace(run, charges=(*run.charges, charge))
        self.use(charge)

    def clean_after(self, run: DraftRun, start: int | None) -> None:
        """Give a run that is on the board its wash-down, or none, in place of what it had."""
        runs, length = self.runs[run.dryer], self.problem.dryers[run.dryer].wash_down
        runs[runs.index(run)] = replace(run, wash_down=start)
        if run.wash_down is not None:
            self.use_hands(run.wash_down, length, -1)
        if start is not None:
            self.use_hands(start, length)

    def use(self, charge: DraftCharge, *, loose: bool = False) -> None:
        """Take what the preparation and, unless it is loose, the dry check and the packing of a
        charge need."""
        if self.problem.rules.easier:
            return
        lot, recipe = self.problem.lots[charge.lot], charge.recipe
        self._use_tables(lot, charge)
        if lot.alone:
            self.use_hands(charge.wash, recipe.wash)
            self.use_hands(charge.cut, recipe.cut)
        self.use_hands(charge.cut, recipe.cut, 2 * (len(recipe.tables) - 1))
        self._use_pair(lot, block(charge.wash, recipe.wash) | block(charge.cut, recipe.cut))
        self.crates.add(block(lot.at_door, charge.cut - lot.at_door), recipe.crates)
        if recipe.steamers:
            self._use_steamers(lot, charge)
        if self.problem.rules.packing and not loose:
            self.use_hands(charge.check, self.problem.check)
            packing = block(charge.pack, recipe.pack)
            self._use_pair(lot, packing)
            _take(self.benches, packing)

    def _use_pair(self, lot: Lot, mask: int) -> None:
        if self.problem.rules.hands:
            self.pairs[lot.grower] |= mask

    def _use_tables(self, lot: Lot, charge: DraftCharge) -> None:
        if not self.problem.rules.tables:
            return
        recipe = charge.recipe
        _take(self.washing, block(charge.wash, recipe.wash))
        for kind in recipe.tables:
            _take(self.tables[kind], block(charge.cut, recipe.cut + lot.change_over))

    def _use_steamers(self, lot: Lot, charge: DraftCharge) -> None:
        recipe, steaming = charge.recipe, block(charge.steam, charge.recipe.steam)
        cut_done = charge.cut + recipe.cut
        attendants = len(recipe.steamers)
        if charge.pair_attends:
            alone = max(0, min(recipe.steam, cut_done - charge.steam))
            self.use_hands(charge.steam, alone, attendants)
            self.use_hands(charge.steam + alone, recipe.steam - alone, attendants - 1)
            self._use_pair(lot, block(charge.steam + alone, recipe.steam - alone))
        else:
            self.use_hands(charge.steam, recipe.steam, attendants)
        self.draws.clear()
        for kind in recipe.steamers:
            self.watts.add(steaming, self.problem.steamer_kinds[kind].watts)
            if self.problem.rules.steamers:
                _take(self.steamers[kind], steaming)
        if self.problem.rules.steamers:
            self.tub.add(block(charge.steam, recipe.tub), recipe.tub_g)


def counted(used: Iterable[int]) -> list[int]:
    """Like places in use, counted: mask n has the ticks at which more than n of them are used.

    Which place a charge gets is settled when the plan is expanded; as long as no tick uses more
    than there are, it can be (intervals coloured in order of start).
    """
    places = list(used)
    levels = [0] * len(places)
    for mask in places:
        _take(levels, mask)
    return levels


def _take(levels: list[int], wanted: int) -> None:
    """Use one more of several like places then."""
    for level, used in enumerate(levels):
        levels[level] |= wanted
        wanted &= used


def room(levels: list[int], length: int, within: int, count: int = 1) -> int:
    """Starts from which so many of several like places are free for so long."""
    if count > len(levels):
        return 0
    return lasting(within & ~levels[-count], length)
