"""The integers that whiteboard, model and bounds see: five-minute ticks, grams, racks, watts.

Tick 0 is midnight (kitchen's clock) before the week's Monday. Masks are whole numbers used as rows
of
bits: bit t stands for the tick from t to t + 1.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, field
from datetime import datetime

from scheduler.domain.plan import Moved
from scheduler.domain.rules import RuleBook
from scheduler.errors import StalePlan
from scheduler.home import Home
from scheduler.units import GRID, Grams

PAIR = 2  # people in a pair, and in the house while a steamer or slicer runs
FOREVER = 10_000  # ticks: further than any week reaches
Key = tuple[int, int]  # dryer and start of a run


@dataclass(frozen=True, slots=True)
class Day:
    """One staffed stretch. Staffed time of a tick t in it: before + t - open."""

    open: int
    close: int
    before: int  # staffed ticks before this stretch
    plans: bool  # runs may start in it (the Monday after is for checks and packing only)


@dataclass(frozen=True, slots=True)
class Recipe:
    """One way to prepare a charge of a given size, all in ticks from the start of its cut.

    tables: kinds of table in use, the pair's first, then those of kitchen hands. steamers: kinds
    of steamer in use, that of the first load first.
    The first steam load starts between steam_from and steam_to after the start of the cut; the run
    starts
    between ready_from and ready_to after the start of steaming (of cutting where nothing is
    steamed).
    """

    racks: int
    field_g: Grams
    prepared_g: Grams
    tables: tuple[int, ...]
    steamers: tuple[int, ...]
    wash: int
    cut: int
    steam: int = 0
    steam_from: int = 0
    steam_to: int = 0
    ready_from: int = 0
    ready_to: int = FOREVER
    loads: int = 0
    cycle_s: int = 0
    tub_g: int = 0
    tub: int = 0  # ticks that the tub is in use, from the start of steaming
    crates: int = 0
    pack: int = 0
    bags: int = 0


@dataclass(frozen=True, slots=True)
class Lot:
    """One note that asks for racks. sizes: racks -> the recipes of a charge that large."""

    index: int
    note_id: str
    grower: int
    alone: bool
    slicer: bool
    group: int
    coolest: int  # tenths of a degree that its climate tolerates
    hottest: int
    drying: int
    at_door: int
    arrives: (
        int  # when work on it may begin: on the grid, or, under the easier rules, when all is ready
    )
    earliest: int  # start of a run that holds any of it
    latest: int
    field_g: Grams
    prepared_g: Grams
    keeping: int
    dryers: tuple[int, ...]
    racks: int  # of the whole lot
    change_over: int  # at a table after it
    rest: int  # ticks from the end of unloading to packing
    pack_within: int
    most_charges: int
    least_racks: int
    parts: tuple[int, ...]  # easier rules: racks of each part when whole, halved, in thirds
    sizes: dict[int, tuple[Recipe, ...]]
    pinned: bool = False
    where: tuple[int, ...] = ()  # by dryer: mask of the run starts that wishes leave; none: all

    def starts_on(self, dryer: int) -> int:
        """Mask of the ticks at which wishes let a run on that dryer start with any of it."""
        return self.where[dryer] if self.where else -1

    def may_start(self, dryer: int, start: int) -> bool:
        """Whether wishes let a run of any of it start then on that dryer."""
        return bool(self.starts_on(dryer) >> start & 1)

    def worth(self, racks: int) -> int:
        """Prepared grams that so many of the lot's racks hold."""
        return self.prepared_g * racks // self.racks


@dataclass(frozen=True, slots=True)
class DryerSpec:
    index: int
    id: str
    racks: int
    coolest: int
    hottest: int
    watts: int
    late_watts: int
    full_draw: int
    groups: frozenset[int]
    turn_round: int
    unload: int
    wash_down: int
    unattended: bool
    free_from: int  # staffed time from which it may start, after what is already in it
    last_group: int | None  # group of the run before
    down: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class SteamerKind:
    """Steamers that are alike. watts: of one."""

    ids: tuple[str, ...]
    watts: int


@dataclass(frozen=True, slots=True)
class TableKind:
    """Tables that are alike."""

    ids: tuple[str, ...]
    slicer_percent: int


@dataclass(frozen=True)
class Problem:
    """A week as integers. firm: what stays where it is on the board, whatever is searched. home:
    where turns are that should rather not be moved, in a mend."""

    rules: RuleBook
    origin: datetime
    days: tuple[Day, ...]
    horizon: int
    now: int
    lots: tuple[Lot, ...]
    dryers: tuple[DryerSpec, ...]
    steamer_kinds: tuple[SteamerKind, ...]
    table_kinds: tuple[TableKind, ...]
    growers: tuple[str, ...]
    groups: tuple[str, ...]
    washes: frozenset[tuple[int, int]]  # (group before, group after) that need a wash-down
    staffed: int  # mask
    hands: tuple[
        int, ...
    ]  # hands[q]: mask of ticks with at least q hands on shift; hands[0] is all
    away: tuple[int, ...]  # by grower: mask of ticks when she cannot come
    wash_line_ids: tuple[str, ...]
    bench_ids: tuple[str, ...]
    tub_id: str
    tub_g: int
    chill: float  # ticks that a load stays in the tub
    cold_store_id: str
    crates: int
    supply_watts: int
    background_watts: tuple[tuple[int, int, int], ...]  # started runs: from, to, watts
    cool_hold: int
    unloaded_within: int
    check_after: int  # from the end of unloading to the start of the dry check
    check: int
    goals: tuple[str, ...]
    down: dict[str, int]  # by station that is not a dryer: mask of ticks when it is down
    firm: Firm = field(default_factory=lambda: NOTHING_FIRM)
    home: Home | None = None
    _opens: tuple[int, ...] = field(default=(), compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_opens", tuple(day.open for day in self.days))

    @property
    def order(self) -> tuple[int, ...]:
        """Lot indices in order of turn: notes are called in that order (goal B)."""
        return tuple(range(len(self.lots)))

    @property
    def two_on_shift(self) -> int:
        """The ticks with two kitchen hands on shift."""
        return self.hands[PAIR] if len(self.hands) > PAIR else 0

    @property
    def steamers(self) -> int:
        return sum(len(kind.ids) for kind in self.steamer_kinds)

    @property
    def wash_lines(self) -> int:
        return len(self.wash_line_ids)

    @property
    def benches(self) -> int:
        return len(self.bench_ids)

    def tick(self, instant: datetime) -> int:
        """StalePlan where it is off the grid."""
        tick, odd = divmod(int((instant - self.origin).total_seconds()), GRID)
        if odd:
            raise StalePlan("a time of it is off the five-minute grid")
        return tick

    def day_of(self, tick: int) -> Day | None:
        """The staffed stretch that a tick lies in; its closing tick counts as in it."""
        at = bisect_right(self._opens, tick) - 1
        if at < 0 or tick > self.days[at].close:
            return None
        return self.days[at]

    def next_open(self, tick: int) -> Day | None:
        """The stretch that the tick lies in (closing tick excluded), or the next one."""
        at = bisect_right(self._opens, tick) - 1
        if at >= 0 and tick < self.days[at].close:
            return self.days[at]
        return self.days[at + 1] if at + 1 < len(self.days) else None

    def staffed_time(self, tick: int) -> int:
        """Staffed ticks before a tick."""
        at = bisect_right(self._opens, tick) - 1
        if at < 0:
            return 0
        day = self.days[at]
        return day.before + min(tick, day.close) - day.open

    def at_staffed_time(self, staffed: int) -> int:
        """The first tick with that many staffed ticks before it (a closing tick rather than the
        next opening)."""
        for day in self.days:
            if staffed <= day.before + day.close - day.open:
                return day.open + max(0, staffed - day.before)
        return FOREVER

    def release(self, end: int) -> int | None:
        """When a run that ends at a tick is released (rule 3); None if it may not end then."""
        if self.rules.easier and self.day_of(end) is not None:
            return end
        day = self.next_open(end)
        if day is None:
            return None
        if end >= day.open:
            return end
        return day.open if day.open - end <= self.cool_hold else None

    def climate(self, run: DraftRun) -> tuple[int, int]:
        """The coolest and the hottest that a run bears: just its set point where that is firm."""
        at = self.firm.set_points.get(run.key)
        if at is not None:
            return at, at
        dryer, lots = self.dryers[run.dryer], [self.lots[charge.lot] for charge in run.charges]
        return (
            max(dryer.coolest, *(lot.coolest for lot in lots)),
            min(dryer.hottest, *(lot.hottest for lot in lots)),
        )

    def legal_end(self, end: int, dryer: DryerSpec) -> bool:
        """Rule 3: released in time and unloaded within the limit, while somebody is there."""
        release = self.release(end)
        if release is None:
            return False
        day = self.day_of(release)
        return day is not None and day.plans and release + dryer.unload <= day.close


@dataclass(frozen=True, slots=True)
class DraftCharge:
    """A charge as the search sees it; ticks.

    pair_attends: the grower's pair minds the steamer after its cut.
    """

    lot: int
    recipe: Recipe
    wash: int = 0
    cut: int = 0
    steam: int = 0
    pair_attends: bool = False
    check: int = 0
    pack: int = 0


@dataclass(frozen=True, slots=True)
class DraftRun:
    """A run as the search sees it; ticks.

    wash_down: start of the wash-down after it, where the next run asks for one.
    """

    dryer: int
    start: int
    drying: int
    unload: int
    wash_down: int | None
    charges: tuple[DraftCharge, ...]

    @property
    def key(self) -> Key:
        return self.dryer, self.start

    @property
    def racks(self) -> int:
        return sum(charge.recipe.racks for charge in self.charges)


@dataclass(frozen=True, slots=True)
class Draft:
    """A whole plan as the search sees it: runs in order of dryer and start."""

    runs: tuple[DraftRun, ...] = ()

    def racks_of(self, lots: int) -> list[int]:
        """Racks placed, by lot."""
        placed = [0] * lots
        for run in self.runs:
            for charge in run.charges:
                placed[charge.lot] += charge.recipe.racks
        return placed


@dataclass(frozen=True)
class Firm:
    """What stays where it is (rule 18), names of hands included.

    draft: the runs of it, with those charges alone that hold them. set_points: of these runs,
    tenths of a degree. taken: by station that there are like ones of, mask of the ticks when these
    charges use it. as_posted: the posted plan as far as it still holds, to go on from. moved: the
    promised notes that cannot be kept.
    """

    draft: Draft = Draft()
    set_points: dict[Key, int] = field(default_factory=dict)
    taken: dict[str, int] = field(default_factory=dict)
    as_posted: Draft | None = None
    moved: tuple[Moved, ...] = ()
    lots: frozenset[int] = field(init=False)
    wash_downs: dict[Key, int] = field(init=False)  # of these runs, where they have one

    def __post_init__(self) -> None:
        runs = self.draft.runs
        lots = frozenset(charge.lot for run in runs for charge in run.charges)
        washes = {run.key: run.wash_down for run in runs if run.wash_down is not None}
        object.__setattr__(self, "lots", lots)
        object.__setattr__(self, "wash_downs", washes)


NOTHING_FIRM: Firm = Firm()
