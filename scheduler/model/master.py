"""What no plan can beat: the week relaxed to a linear programme, solved to its proven optimum.

Columns: a run of a class (group, hours) that starts at a tick on one of several like dryers, and
the racks of a lot in it. Every plan is a point of this programme with the same worth, so its
optimum is a bound. Rows, and why each holds for every plan:

- room: the racks in a run are no more than the dryer has; a lot's racks are no more than can be
  made ready by that start on that day with every station to itself (waits keep cutting on the day
  of the start).
- time (dryer_time): a dryer's runs do not overlap, each taking it until it is unloaded, turned
  round and, where the groups ask for it, washed down.
- lot: a lot has no more racks than it is large.
- before t (day_rows): charges in runs that start by t on a day are washed (if the lot came that
  day), cut, steamed and minded by people between opening and t; each station and each grower's pair
  can do only so much.

Starts are thinned where that loses nothing: of starts that free the dryer at the same time (runs
that end in the night) only the latest counts, and the latest that each lot bears, because every row
above allows a later start whatever it allows an earlier one. In a large week, starts that free the
dryer within a few ticks of each other (the grain) are taken for one as well: with the latest start
among them, the soonest release, and so many ticks more in which to unload.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import pairwise

from scheduler.model.day_rows import add_day_rows, soonest_ready
from scheduler.model.dryer_time import add_dryer_time
from scheduler.model.programme import Columns, Share, Start, Unload
from scheduler.problem import NOTHING_FIRM, Day, DryerSpec, Lot, Problem
from scheduler.units import Grams
from scheduler.whiteboard.calendars import Calendars
from scheduler.whiteboard.masks import span, ticks
from scheduler.worth import worth

USUAL = 250  # lots on days and kinds of dryers; weeks of 25 lots and 5 dryers have some 240
COARSE, COARSER = 4, 3  # ticks at least, and times the week's own grain, for a first bound: up to
# 2 percent less tight, in a fifth of the time (from trials)
ROUNDED = 1e-9  # of the bound: more than its sums of floating-point numbers may be rounded by


class Master(Columns):
    """The relaxed week. bound() solves it. grain: in ticks; by default as the week's size asks."""

    def __init__(self, problem: Problem, grain: int | None = None) -> None:
        super().__init__(problem)
        self.calendars = Calendars(problem)
        self.lots = [lot for lot in problem.lots if lot.sizes and lot.dryers]
        self.kinds = _alike(problem.dryers)
        self.grain = grain or usual_grain(problem)
        self._ready: dict[tuple[int, int], list[tuple[int, int]]] = {}
        self.same_day = _same_day(problem)
        for kind in range(len(self.kinds)):
            self._add_kind(kind)
        self._add_unloads()
        add_dryer_time(self)
        if problem.rules.hands and not problem.rules.easier:
            self._add_hands()
        self._add_lots()
        if self.same_day:
            add_day_rows(self)

    def bound(self, seconds: float, *, roughly: bool = False) -> int | None:
        """Prepared grams that no plan exceeds; None if the programme was not solved in time."""
        most = self.programme.bound(seconds, roughly=roughly)
        if most is None:
            return None
        everything = sum(lot.prepared_g for lot in self.problem.lots)
        return min(everything, math.floor(most * (1 + ROUNDED)) + len(self.lots))

    def _add_kind(self, kind: int) -> None:
        dryer = self.kinds[kind][0]
        alike = {each.index for each in self.kinds[kind]}
        own = [lot for lot in self.lots if alike.intersection(lot.dryers)]
        for number, day in enumerate(self.days):
            here = [lot for lot in own if lot.arrives <= day.close and lot.latest >= day.open]
            for group, drying in sorted({(lot.group, lot.drying) for lot in here}):
                members = [lot for lot in here if lot.group == group and lot.drying <= drying]
                longest = [lot for lot in members if lot.drying == drying]
                for lots in _meeting(members, longest):
                    self._add_starts((kind, number, drying), dryer, lots)

    def _add_starts(self, which: tuple[int, int, int], dryer: DryerSpec, lots: list[Lot]) -> None:
        kind, number, drying = which
        for tick, released in self._thinned(dryer, drying, self.days[number], lots):
            self._add_start((kind, number, tick, drying), released, lots)

    def _thinned(
        self, dryer: DryerSpec, drying: int, day: Day, lots: list[Lot]
    ) -> list[tuple[int, int]]:
        """Ticks of a start, and the soonest release of those that it stands for."""
        window = span(day.open, day.close)
        by_release: dict[int, list[int]] = defaultdict(list)
        for tick in ticks(self.calendars.legal_starts(dryer, drying) & window):
            by_release[self._released(tick + drying) // self.grain].append(tick)
        kept: dict[int, int] = {}
        for same in by_release.values():
            released = self._released(same[0] + drying)
            kept[same[-1]] = released
            for lot in lots:
                borne = [tick for tick in same if tick <= lot.latest]
                if borne:
                    kept[borne[-1]] = released
        return sorted(kept.items())

    def _released(self, end: int) -> int:
        released = self.problem.release(end)
        assert released is not None
        return released

    def _add_start(
        self, which: tuple[int, int, int, int], released: int, members: list[Lot]
    ) -> None:
        kind, day, tick, drying = which
        dryers = self.kinds[kind]
        room = {
            lot.index: min(dryers[0].racks, self._most_ready(lot, day, tick)) for lot in members
        }
        inside = [lot for lot in members if room[lot.index] > 0]
        if not any(lot.drying == drying for lot in inside):
            return
        programme = self.programme
        column = programme.column(0, len(dryers))
        start = Start(kind, day, inside[0].group, tick, drying, released, column)
        self.starts.append(start)
        total: dict[int, float] = {column: -dryers[0].racks}
        longest: dict[int, float] = {column: 1.0}
        for lot in inside:
            share = programme.column(lot.prepared_g / lot.racks, lot.racks)
            self.shares.append(Share(lot, start, share))
            if room[lot.index] < dryers[0].racks:  # else the dryer's own row says as much
                programme.at_most(0, {share: 1, column: -room[lot.index]})
            total[share] = 1
            if lot.drying == drying:
                longest[share] = -1.0 / min(lot.sizes)
        programme.at_most(0, total)
        programme.at_most(0, longest)

    def _most_ready(self, lot: Lot, day: int, tick: int) -> int:
        """Racks of a lot that can be ready by a tick of a day, with every station to themselves."""
        if tick > lot.latest or tick < lot.arrives:
            return 0
        if not self.same_day:
            return max(lot.sizes)
        key = (lot.index, day)
        if key not in self._ready:
            opens = max(self.days[day].open, lot.arrives)
            came_today = lot.arrives > self.days[day].open
            soonest = (
                (opens + soonest_ready(lot.sizes[size], came_today), size) for size in lot.sizes
            )
            self._ready[key] = sorted(soonest)
        return max((size for ready, size in self._ready[key] if ready <= tick), default=0)

    def _add_unloads(self) -> None:
        """Every run is unloaded once; its dryer is washed down, or left as its group left it."""
        together: dict[tuple[int, int, int | None], list[Start]] = defaultdict(list)
        dirty = {before for before, _ in self.problem.washes}
        for start in self.starts:
            group = start.group if start.group in dirty else None
            together[start.kind, start.released, group].append(start)
        for (kind, released, group), starts in together.items():
            row = {start.column: -1.0 for start in starts}
            ways = self._ways_to_unload(kind, released, washed=group is not None)
            if group is not None:
                ways += self._ways_to_unload(kind, released, dirty=group)
            row.update({unload.column: 1.0 for unload in ways})
            self.unloads += ways
            self.programme.equal(0, row)

    def _ways_to_unload(
        self, kind: int, released: int, *, washed: bool = False, dirty: int | None = None
    ) -> list[Unload]:
        problem, dryer = self.problem, self.kinds[kind][0]
        delays = (
            range(self.grain)
            if problem.rules.easier
            else range(problem.unloaded_within - dryer.unload + self.grain)
        )
        found = []
        for begins in (released + delay for delay in delays):
            day = problem.day_of(begins)
            if day is None or (begins + dryer.unload > day.close and not problem.rules.easier):
                break
            taken = dryer.turn_round + (dryer.wash_down if washed else 0)
            free = problem.at_staffed_time(problem.staffed_time(begins) + taken)
            column = self.programme.column(0, len(self.kinds[kind]))
            ends = begins + dryer.unload
            found.append(Unload(kind, released, begins, ends, free, dirty, column))
        return found

    def _add_hands(self) -> None:
        """At every tick, unloading takes no more hands than are on shift."""
        busy: dict[int, dict[int, float]] = defaultdict(dict)
        for unload in self.unloads:
            for tick in range(unload.begins, unload.ends):
                busy[tick][unload.column] = 1.0
        for tick, row in busy.items():
            on_shift = sum(mask >> tick & 1 for mask in self.problem.hands[1:])
            self.programme.at_most(on_shift, row)

    def _add_lots(self) -> None:
        shares: dict[int, dict[int, float]] = defaultdict(dict)
        for share in self.shares:
            shares[share.lot.index][share.column] = 1.0
        for index, row in shares.items():
            self.programme.at_most(self.problem.lots[index].racks, row)


def usual_grain(problem: Problem) -> int:
    """Ticks within which starts are told apart no more, the more the larger the week, so that the
    programme of a large one is solved in time, too."""
    lots = [lot for lot in problem.lots if lot.sizes and lot.dryers]
    meetings = sum(
        1
        for kind in _alike(problem.dryers)
        for lot in lots
        for day in problem.days
        if day.plans and lot.arrives <= day.close and lot.latest >= day.open
        if any(dryer.index in lot.dryers for dryer in kind)
    )
    return 1 + meetings // USUAL


def large(problem: Problem) -> bool:
    """Whether starts are taken together: so large a week that the search cannot try all there
    is."""
    return usual_grain(problem) > 1


def _same_day(problem: Problem) -> bool:
    """Whether a charge must be cut on the day of its start: no wait is as long as any closing."""
    if problem.rules.easier or not problem.rules.waits:
        return False
    closed = min((later.open - day.close for day, later in pairwise(problem.days)), default=0)
    recipes = (recipe for lot in problem.lots for each in lot.sizes.values() for recipe in each)
    return max((recipe.steam_to + recipe.ready_to for recipe in recipes), default=0) < closed


def _meeting(lots: list[Lot], needed: list[Lot]) -> list[list[Lot]]:
    """The largest sets of lots that all tolerate one set point, each with one of those needed in
    it."""
    sets = [
        frozenset(lot.index for lot in lots if lot.coolest <= point <= lot.hottest)
        for point in sorted({lot.coolest for lot in lots})
    ]
    largest = [one for one in dict.fromkeys(sets) if not any(one < other for other in sets)]
    wanted = {lot.index for lot in needed}
    return [[lot for lot in lots if lot.index in each] for each in largest if each & wanted]


def _alike(dryers: tuple[DryerSpec, ...]) -> list[list[DryerSpec]]:
    """Dryers that differ in name only, together."""
    alike: dict[object, list[DryerSpec]] = defaultdict(list)
    for each in dryers:
        figures = (
            each.racks,
            each.coolest,
            each.hottest,
            each.groups,
            each.turn_round,
            each.unload,
            each.wash_down,
        )
        alike[figures, each.free_from, each.last_group, each.down, each.unattended].append(each)
    return list(alike.values())


def bounds(problem: Problem, usual: Callable[[], Master]) -> Iterator[int]:
    """What no plan exceeds: soon, by a coarser week; then by the week as it is made otherwise."""
    coarse = Master(problem, max(COARSE, COARSER * usual_grain(problem)))
    yield first_bound(problem, master=coarse, roughly=True)
    yield first_bound(problem, master=usual())


def first_bound(
    problem: Problem, seconds: float = 30.0, master: Master | None = None, *, roughly: bool = False
) -> int:
    """The relaxed week's optimum, or everything there is where it is not found in time; master: of
    this week, where it has been made.

    Once the week has begun, firm lots are counted as they stand: the rest has no more room than
    in a week without them.
    """
    most = most_there_is(problem)
    if not problem.now or not problem.firm.lots:
        found = (master or Master(problem)).bound(seconds, roughly=roughly)
        return most if found is None else min(most, found)
    # what is under way may have begun before any run of the programme
    lots = tuple(
        replace(lot, sizes={}, dryers=(), prepared_g=Grams(0))
        if lot.index in problem.firm.lots
        else lot
        for lot in problem.lots
    )
    rest = replace(problem, lots=lots, firm=NOTHING_FIRM)
    of_rest = Master(rest, None if master is None else master.grain)
    found = of_rest.bound(seconds, roughly=roughly)
    return most if found is None else min(most, worth(problem, problem.firm.draft) + found)


def most_there_is(problem: Problem) -> int:
    """Prepared grams of all lots; of firm ones, what is placed."""
    firm = problem.firm
    others = (lot.prepared_g for lot in problem.lots if lot.index not in firm.lots)
    return int(sum(others)) + worth(problem, firm.draft)
