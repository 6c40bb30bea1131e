"""The kitchen: its stations, hours, hands, limits and the members' order of goals."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Literal
from zoneinfo import ZoneInfo

from scheduler.domain.clock import Span, WeeklyHours, weekly_spans
from scheduler.units import Grams, Racks, Seconds

Goal = Literal["worth", "keeping", "spend", "calm"]


@dataclass(frozen=True, slots=True)
class Group:
    """Crops that may share a dryer run.

    wash_down_before: groups that need a full wash-down after this one.
    """

    id: str
    name: str
    order: int  # of the day: mild first, hot last
    hatch: str  # how its runs are drawn: plain, dots, slant, cross, wave
    change_over_s: Seconds  # at a table, after this group, before another grower or group
    wash_down_before: frozenset[str]


@dataclass(frozen=True, slots=True)
class Dryer:
    """A dryer in racks. Draw is full for the first hours of a run, then a share of it."""

    id: str
    name: str
    racks: Racks
    rack_area_cm2: int
    coolest_c: float
    hottest_c: float
    watts: int
    full_draw_s: Seconds
    later_draw_percent: int
    groups: frozenset[str]  # the groups it takes
    turn_round_s: Seconds  # unloading, cooling and loading; staffed minutes
    unload_s: Seconds  # by one hand, at the start of the turn-round
    wash_down_s: Seconds  # by one hand, on top of the turn-round
    runs_unattended: bool


@dataclass(frozen=True, slots=True)
class Steamer:
    """A load takes the card's steam minutes, then handling (unload, drain, reload)."""

    id: str
    name: str
    load_g: Grams
    basket_area_cm2: int
    handling_s: Seconds
    watts: int


@dataclass(frozen=True, slots=True)
class ChillTub:
    """Holds so many grams at once; each load stays the full time, handling inside."""

    id: str
    name: str
    holds_g: Grams
    chill_s: Seconds


@dataclass(frozen=True, slots=True)
class WashLine:
    """One lot at a time, at this rate of field weight."""

    id: str
    name: str
    g_per_h: Grams


@dataclass(frozen=True, slots=True)
class Table:
    """Room for one crew.

    slicer_percent is the pair's rate with the slicer, 100 where there is none.
    """

    id: str
    name: str
    slicer_percent: int


@dataclass(frozen=True, slots=True)
class PackingBench:
    """One grower at a time."""

    id: str
    name: str
    bags_per_h: int


@dataclass(frozen=True, slots=True)
class ColdStore:
    """Crates for raw lots, and a shelf of crates for part-dry racks only."""

    id: str
    name: str
    crates: int
    part_dry_crates: int
    crate_g: Grams
    celsius: float


@dataclass(frozen=True, slots=True)
class Freezer:
    id: str
    name: str
    holds_g: Grams


@dataclass(frozen=True, slots=True)
class Meter:
    """The water activity meter and the salts it is verified with each day of use."""

    id: str
    name: str
    salts: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Hand:
    """A kitchen hand (the manager is one too) and when on shift."""

    name: str
    role: str
    shifts: tuple[WeeklyHours, ...]


@dataclass(frozen=True, slots=True)
class OnCall:
    """Who may be rung in the night after that weekday."""

    weekday: int
    name: str
    telephone: str


@dataclass(frozen=True, slots=True)
class Limits:
    """House limits: rules 3, 7, 8, 9, 10, 11, 17."""

    cool_hold_most_s: Seconds
    unloaded_within_s: Seconds
    cut_to_steam_s: Seconds
    steam_to_dryer_s: Seconds
    cut_to_dryer_s: Seconds
    filled_to_start_s: Seconds
    last_rack_s: (
        Seconds  # from the last kg cut (unsteamed) or chilled (steamed) to the last rack filled
    )
    basket_depth_mm: int
    change_over_s: Seconds  # at a table between growers
    cool_s: Seconds
    sample_closed_s: Seconds
    dry_check_s: Seconds
    supply_watts: int


@dataclass(frozen=True, slots=True)
class Fees:
    """In minor units of the currency (cents)."""

    table_hour: int
    table_hour_late: int
    late_from_hour: int
    steam_load: int
    rack_hour_day: int
    rack_hour_night: int
    night_from_hour: int
    night_to_hour: int
    crate_day: int
    bench_hour: int
    non_member_percent: int
    own_hour: int  # what growers reckon for an hour of their own work, per person
    bag: int
    # Of the dryer fee, and only if somebody was turned away meanwhile (demo):
    late_percent: int = 50  # let go after cancel_by_hour of the evening before
    no_show_percent: int = 100
    cancel_by_hour: int = 18


@dataclass(frozen=True, slots=True)
class VotedCaps:
    """Rule 16, as the members voted.

    turns_a_month: of each grower. Ten: Rental Policies, Value Added Kitchen, N.C. Cooperative
    Extension, Madison County Center. standing_percent: of the week's rack-hours. 35: demo.
    """

    turns_a_month: int = 10
    standing_percent: int = 35


@dataclass(frozen=True, slots=True)
class Costs:
    """What the board reckons with, in minor units and whole years.

    Assumed where the kitchen does not tell: a dryer of 9,000 is demo, within 6,000 to 20,000 for
    commercial ones (Final report FNE13-789; SARE; 2015); years of writing off are common practice;
    all else is demo. supply: 8 kW more.
    """

    electricity_100_kwh: int = 1600
    hand_hour: int = 1500
    dryer: int = 900_000
    dryer_years: int = 10
    steamer: int = 240_000
    steamer_years: int = 8
    supply: int = 400_000
    supply_years: int = 20
    weeks_open: int = 35  # of a year
    source: str = "assumed"


@dataclass(frozen=True, slots=True)
class Kitchen:
    id: str
    name: str
    place: str
    zone: ZoneInfo
    currency: str
    weight_unit: Literal["kg", "lb"]
    temperature_unit: Literal["C", "F"]
    staffed: tuple[WeeklyHours, ...]
    closures: tuple[date, ...]
    groups: tuple[Group, ...]
    dryers: tuple[Dryer, ...]
    steamers: tuple[Steamer, ...]
    chill_tubs: tuple[ChillTub, ...]
    wash_lines: tuple[WashLine, ...]
    tables: tuple[Table, ...]
    benches: tuple[PackingBench, ...]
    cold_store: ColdStore
    freezers: tuple[Freezer, ...]
    meters: tuple[Meter, ...]
    hands: tuple[Hand, ...]
    on_call: tuple[OnCall, ...]
    limits: Limits
    fees: Fees
    goals: tuple[Goal, ...]
    kwh_per_kg_water: float
    source: str
    caps: VotedCaps = VotedCaps()
    costs: Costs = Costs()

    def group(self, group_id: str) -> Group:
        return next(each for each in self.groups if each.id == group_id)

    def dryer(self, dryer_id: str) -> Dryer:
        return next(each for each in self.dryers if each.id == dryer_id)

    def open_days(self, days: Iterable[date]) -> tuple[date, ...]:
        return tuple(day for day in days if day not in self.closures)

    def staffed_spans(self, days: Iterable[date]) -> tuple[Span, ...]:
        """When the kitchen is staffed on those days, closures left out."""
        return weekly_spans(self.staffed, self.open_days(days), self.zone)

    def shifts(self, hand: Hand, days: Iterable[date]) -> tuple[Span, ...]:
        """When a hand is on shift on those days, closures left out."""
        return weekly_spans(hand.shifts, self.open_days(days), self.zone)

    @property
    def station_ids(self) -> frozenset[str]:
        """The ids of everything that can be occupied, and so can stop."""
        kinds = (
            self.dryers,
            self.steamers,
            self.chill_tubs,
            self.wash_lines,
            self.tables,
            self.benches,
            self.freezers,
            self.meters,
            (self.cold_store,),
        )
        return frozenset(each.id for kind in kinds for each in kind)
