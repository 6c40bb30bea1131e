"""What each table of kitchen.toml must hold: every key, named as in the domain, and documented."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from pydantic import BeforeValidator, ConfigDict, Field

from scheduler.domain.clock import Week, WeeklyHours
from scheduler.domain.kitchen import Goal
from scheduler.scenario.faults import Checked
from scheduler.scenario.hours import weekday, weekly_hours
from scheduler.scenario.rows import Amount, Moment, Text


def _hours(given: object) -> object:
    if not isinstance(given, list):
        return given
    return [stretch for each in given for stretch in weekly_hours(str(each))]


def _zone(name: object) -> ZoneInfo:
    try:
        return ZoneInfo(str(name))
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise ValueError("no such time zone; write for example America/New_York") from None


def _week(text: object) -> Week:
    try:
        return Week.parse(str(text))
    except ValueError:
        raise ValueError("not an ISO week; write for example 2026-W34") from None


def _weekday(name: object) -> int:
    return weekday(str(name))


def _money(amount: object) -> int:
    if isinstance(amount, bool) or not isinstance(amount, int | float):
        raise ValueError("must be an amount such as 14.00")
    cents = round(amount * 100)
    if cents != float(Decimal(str(amount)) * 100):
        raise ValueError("must have two decimals at most")
    return cents


WeekHours = Annotated[list[WeeklyHours], BeforeValidator(_hours)]
Money = Annotated[int, BeforeValidator(_money), Field(ge=0)]
Hour = Annotated[int, Field(ge=0, le=24)]
Duration = Annotated[int, Field(ge=0)]
Share = Annotated[int, Field(ge=0, le=100)]
Years = Annotated[int, Field(ge=1, le=100)]


class Table(Checked):
    """A TOML table knows its types: no text is taken for a number."""

    model_config = ConfigDict(strict=True)


class ScenarioRow(Table):
    """[scenario]: which week this is, and how far it has got."""

    title: Text = Field(description="one line that says what the week is like")
    week: Annotated[Week, BeforeValidator(_week)] = Field(description="ISO week, as 2026-W34")
    now: Moment | None = Field(
        default=None, description="local time up to which happened.csv tells; none before the week"
    )


class KitchenRow(Table):
    """[kitchen]: the place, its hours and its members' order of goals."""

    id: Text = Field(description="short name")
    name: Text = Field(description="its full name")
    place: Text = Field(description="where it stands")
    zone: Annotated[ZoneInfo, BeforeValidator(_zone)] = Field(description="IANA time zone")
    currency: str = Field(pattern="^[A-Z]{3}$", description="ISO 4217 code")
    weight_unit: Literal["kg", "lb"] = Field(description="how weights are shown")
    temperature_unit: Literal["C", "F"] = Field(description="how temperatures are shown")
    staffed: WeekHours = Field(min_length=1, description="staffed hours by the week")
    closures: list[date] = Field(description="dates on which it is closed all day")
    goals: list[Goal] = Field(
        min_length=1, description="what a good plan does, most important first"
    )
    kwh_per_kg_water: float = Field(gt=0, description="energy that drying takes")
    source: Text = Field(description="where the figures come from")


class GroupRow(Table):
    """[[groups]]: crops that may share a run."""

    id: Text = Field(description="short name, unique; cards and dryers refer to it")
    name: Text = Field(description="its full name")
    order: int = Field(description="order of the day: mild first, hot last")
    hatch: Literal["plain", "dots", "slant", "cross", "wave"] = Field(description="how it is drawn")
    change_over_s: Duration = Field(
        description="at a table after this group; 0: the general change-over of [limits]"
    )
    wash_down_before: list[str] = Field(description="groups that need a wash-down after it")


class DryerRow(Table):
    """[[dryers]]: cabinets and carts."""

    id: Text = Field(description="short name, unique among all stations")
    name: Text = Field(description="its full name")
    racks: Amount = Field(description="racks it holds")
    rack_area_cm2: Amount = Field(description="area of a rack")
    coolest_c: float = Field(description="lowest set point")
    hottest_c: float = Field(description="highest set point")
    watts: Amount = Field(description="full draw")
    full_draw_s: Duration = Field(description="from run start, how long it draws all of it")
    later_draw_percent: Share = Field(description="share of the full draw after that")
    groups: list[str] = Field(min_length=1, description="the groups it takes")
    turn_round_s: Duration = Field(description="unloading, cooling, loading; staffed time")
    unload_s: Duration = Field(description="unloading by one hand, at the start of the turn-round")
    wash_down_s: Duration = Field(description="by one hand, on top of the turn-round")
    runs_unattended: bool = Field(description="true if it may run while nobody is there")


class SteamerRow(Table):
    """[[steamers]]: one basket at a time."""

    id: Text = Field(description="short name, unique among all stations")
    name: Text = Field(description="its full name")
    load_g: Amount = Field(description="most weight in a load")
    basket_area_cm2: Amount = Field(description="area of the basket")
    handling_s: Duration = Field(description="unload, drain and reload, besides the steam time")
    watts: Amount = Field(description="draw")


class ChillTubRow(Table):
    """[[chill_tubs]]: where steamed food is cooled."""

    id: Text = Field(description="short name, unique among all stations")
    name: Text = Field(description="its full name")
    holds_g: Amount = Field(description="most weight at a time")
    chill_s: Amount = Field(description="how long a load stays, handling inside")


class WashLineRow(Table):
    """[[wash_lines]]: one lot at a time."""

    id: Text = Field(description="short name, unique among all stations")
    name: Text = Field(description="its full name")
    g_per_h: Amount = Field(description="field weight washed in an hour")


class TableRow(Table):
    """[[tables]]: room for one crew."""

    id: Text = Field(description="short name, unique among all stations")
    name: Text = Field(description="its full name")
    slicer_percent: int = Field(ge=100, description="a pair's rate with the slicer; 100: no slicer")


class BenchRow(Table):
    """[[benches]]: where bags are packed."""

    id: Text = Field(description="short name, unique among all stations")
    name: Text = Field(description="its full name")
    bags_per_h: Amount = Field(description="bags packed in an hour")


class ColdStoreRow(Table):
    """[cold_store]: crates for raw lots, and a shelf for part-dry racks only."""

    id: Text = Field(description="short name, unique among all stations")
    name: Text = Field(description="its full name")
    crates: int = Field(ge=0, description="crates of raw lots it holds")
    part_dry_crates: int = Field(ge=0, description="crates of part-dry racks it holds")
    crate_g: Amount = Field(description="weight in a crate")
    celsius: float = Field(description="its temperature")


class FreezerRow(Table):
    """[[freezers]]: the last resort."""

    id: Text = Field(description="short name, unique among all stations")
    name: Text = Field(description="its full name")
    holds_g: Amount = Field(description="most weight")


class MeterRow(Table):
    """[[meters]]: water activity meters."""

    id: Text = Field(description="short name, unique among all stations")
    name: Text = Field(description="its full name")
    salts: list[Annotated[float, Field(gt=0, lt=1)]] = Field(
        min_length=1, description="water activity of the salt standards it is verified with"
    )


class HandRow(Table):
    """[[hands]]: kitchen hands; the manager is one too."""

    name: Text = Field(description="unique; duties are written in it")
    role: Text = Field(description="what they are in the kitchen")
    shifts: WeekHours = Field(description="when on shift, by the week")


class OnCallRow(Table):
    """[[on_call]]: who may be rung in the night after that weekday."""

    weekday: Annotated[int, BeforeValidator(_weekday)] = Field(description="Mon to Sun")
    name: Text = Field(description="who holds the telephone")
    telephone: Text = Field(description="the number")


class LimitsRow(Table):
    """[limits]: house limits."""

    cool_hold_most_s: Duration = Field(description="longest cool hold (rule 3)")
    unloaded_within_s: Duration = Field(description="from release to the end of unloading (rule 3)")
    cut_to_steam_s: Duration = Field(description="a basket cut to its load started (rule 9)")
    steam_to_dryer_s: Duration = Field(description="end of first steaming to run start (rule 9)")
    cut_to_dryer_s: Duration = Field(description="unsteamed: first cut to run start (rule 9)")
    filled_to_start_s: Duration = Field(description="last rack filled to run start (rule 7)")
    last_rack_s: Duration = Field(description="last kg cut or chilled to last rack filled (rule 9)")
    basket_depth_mm: Amount = Field(description="depth of food in a steam basket (rule 10)")
    change_over_s: Duration = Field(description="at a table between growers (rule 8)")
    cool_s: Duration = Field(description="cooling after unloading (rule 17)")
    sample_closed_s: Duration = Field(description="a sample stands closed until read (rule 17)")
    dry_check_s: Duration = Field(description="dry check of a charge by one hand (rule 17)")
    supply_watts: Amount = Field(description="electrical supply limit (rule 13)")


class CapsRow(Table):
    """[caps]: what the members voted (rule 16)."""

    turns_a_month: Amount = Field(default=10, description="most turns of a grower in a month")
    standing_percent: Share = Field(
        default=35, description="most of the week's rack-hours that standing lots may have"
    )


class CostsRow(Table):
    """[costs]: what the board reckons with, in the currency, two decimals at most."""

    electricity_100_kwh: Money = Field(description="100 kWh of electricity by the kitchen's tariff")
    hand_hour: Money = Field(description="a kitchen hand for an hour, as paid")
    dryer: Money = Field(description="one more dryer, set up")
    dryer_years: Years = Field(description="the dryer is written off over so many years")
    steamer: Money = Field(description="one more steamer, set up")
    steamer_years: Years = Field(description="the steamer is written off over so many years")
    supply: Money = Field(description="8 kW more of electrical supply")
    supply_years: Years = Field(description="the supply is written off over so many years")
    weeks_open: Annotated[int, Field(ge=1, le=53)] = Field(
        description="weeks of a year in which the kitchen is open"
    )
    source: Text = Field(description="where these figures come from")


class FeesRow(Table):
    """[fees]: in the currency, two decimals at most."""

    table_hour: Money = Field(description="a table for an hour")
    table_hour_late: Money = Field(description="the same from late_from_hour on")
    late_from_hour: Hour = Field(description="hour of the day")
    steam_load: Money = Field(description="a steam load")
    rack_hour_day: Money = Field(description="a loaded rack for an hour by day")
    rack_hour_night: Money = Field(description="the same by night")
    night_from_hour: Hour = Field(description="hour of the day")
    night_to_hour: Hour = Field(description="hour of the day")
    crate_day: Money = Field(description="a crate in the cold store for a day")
    bench_hour: Money = Field(description="the packing bench for an hour")
    non_member_percent: int = Field(ge=0, description="surcharge for non-members")
    own_hour: Money = Field(description="what growers reckon for an hour of own work, a person")
    bag: Money = Field(description="an empty bag with its label")
    late_percent: Share = Field(
        default=50, description="of the dryer fee for a note let go late, if one was turned away"
    )
    no_show_percent: Share = Field(default=100, description="the same where nobody came")
    cancel_by_hour: Hour = Field(
        default=18, description="hour of the evening before: later is late"
    )


STATIONS = (
    "dryers",
    "steamers",
    "chill_tubs",
    "wash_lines",
    "tables",
    "benches",
    "freezers",
    "meters",
)


class KitchenFile(Table):
    """The whole of kitchen.toml."""

    scenario: ScenarioRow
    kitchen: KitchenRow
    groups: list[GroupRow] = Field(min_length=1)
    dryers: list[DryerRow] = Field(min_length=1)
    steamers: list[SteamerRow] = Field(default=[])
    chill_tubs: list[ChillTubRow] = Field(default=[])
    wash_lines: list[WashLineRow] = Field(min_length=1)
    tables: list[TableRow] = Field(min_length=1)
    benches: list[BenchRow] = Field(min_length=1)
    cold_store: ColdStoreRow
    freezers: list[FreezerRow] = Field(default=[])
    meters: list[MeterRow] = Field(default=[])
    hands: list[HandRow] = Field(min_length=1)
    on_call: list[OnCallRow] = Field(default=[])
    limits: LimitsRow
    fees: FeesRow
    caps: CapsRow = Field(default=CapsRow())
    costs: CostsRow | None = None  # all of them told, or all assumed

    def stations(self) -> list[tuple[str, str]]:
        """Every station: the table it stands in, and its id."""
        listed = [(kind, each.id) for kind in STATIONS for each in getattr(self, kind)]
        return [*listed, ("cold_store", self.cold_store.id)]
