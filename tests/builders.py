"""A small kitchen, cards, growers, notes and plan parts for tests. All figures are demo."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from scheduler.domain.clock import Span, Week, WeeklyHours, local_instant
from scheduler.domain.harvest import Grower, HarvestNote
from scheduler.domain.kitchen import (
    ChillTub,
    ColdStore,
    Dryer,
    Fees,
    Group,
    Hand,
    Kitchen,
    Limits,
    PackingBench,
    Steamer,
    Table,
    WashLine,
)
from scheduler.domain.plan import SteamLoad
from scheduler.domain.process_card import DryCheck, ProcessCard
from scheduler.units import HOUR, MINUTE, Grams, Racks, Seconds

ZONE = ZoneInfo("America/New_York")
WEEK = Week(2026, 34)
DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun", "Next")  # Next: the Monday after


def minutes(count: float) -> Seconds:
    return Seconds(int(count * MINUTE))


def hours(count: float) -> Seconds:
    return Seconds(int(count * HOUR))


def at(text: str, *, week: Week = WEEK, zone: ZoneInfo = ZONE) -> datetime:
    """ "Mon 09:05" (or "Mon 09:05:30", "Next 08:00") by the wall clock, as an instant."""
    day, clock = text.split()
    date = week.monday + timedelta(days=DAYS.index(day))
    return local_instant(date, time.fromisoformat(clock), zone)


def span(start: str, end: str) -> Span:
    """Two times like at() takes; the end may leave out the day."""
    return Span(at(start), at(end if " " in end else f"{start.split(maxsplit=1)[0]} {end}"))


def weekly(days: str, opens: str, closes: str) -> tuple[WeeklyHours, ...]:
    """ "Mon Tue", "07:00", "19:00" as weekly hours."""
    stretch = time.fromisoformat(opens), time.fromisoformat(closes)
    return tuple(WeeklyHours(DAYS.index(day), *stretch) for day in days.split())


GROUPS = (
    Group("mild", "Mild", 1, "plain", Seconds(0), frozenset()),
    Group("sweet", "Sweet", 2, "dots", Seconds(0), frozenset()),
    Group("strong", "Strong", 3, "slant", minutes(30), frozenset({"mild", "sweet", "hot"})),
    Group("hot", "Hot", 4, "cross", minutes(30), frozenset({"mild", "sweet", "strong"})),
)
LIMITS = Limits(
    cool_hold_most_s=hours(8),
    unloaded_within_s=hours(1),
    cut_to_steam_s=hours(1),
    steam_to_dryer_s=hours(2),
    cut_to_dryer_s=hours(3),
    filled_to_start_s=minutes(90),
    last_rack_s=minutes(10),
    basket_depth_mm=50,
    change_over_s=minutes(10),
    cool_s=minutes(10),
    sample_closed_s=minutes(30),
    dry_check_s=minutes(15),
    supply_watts=15_000,
)
HANDS = (
    Hand("Lotte", "manager", weekly("Mon Tue Wed Thu Fri", "07:00", "17:00")),
    Hand(
        "Jun",
        "hand",
        (
            *weekly("Mon Tue Wed Thu Fri", "07:00", "19:00"),
            *weekly("Sat", "07:00", "13:00"),
        ),
    ),
    Hand(
        "Sal",
        "hand",
        (
            *weekly("Mon", "13:00", "19:00"),
            *weekly("Tue Thu", "07:00", "19:00"),
            *weekly("Wed", "07:00", "13:00"),
        ),
    ),
)
FEES = Fees(
    table_hour=1400,
    table_hour_late=1000,
    late_from_hour=15,
    steam_load=300,
    rack_hour_day=15,
    rack_hour_night=11,
    night_from_hour=19,
    night_to_hour=7,
    crate_day=50,
    bench_hour=800,
    non_member_percent=40,
    own_hour=1800,
    bag=25,
)


def dryer(name: str, **changes: Any) -> Dryer:
    """A cabinet of 20 racks that takes every group of GROUPS."""
    cabinet = Dryer(
        id=name,
        name=f"Cabinet {name}",
        racks=Racks(20),
        rack_area_cm2=6000,
        coolest_c=35.0,
        hottest_c=70.0,
        watts=7500,
        full_draw_s=hours(3),
        later_draw_percent=60,
        groups=frozenset(group.id for group in GROUPS),
        turn_round_s=hours(1),
        unload_s=minutes(30),
        wash_down_s=hours(1),
        runs_unattended=True,
    )
    return replace(cabinet, **changes)


def steamer(name: str, load_g: int, watts: int, **changes: Any) -> Steamer:
    large = Steamer(name, f"Steamer {name}", Grams(load_g), 6000, minutes(6), watts)
    return replace(large, **changes)


def kitchen(**changes: Any) -> Kitchen:
    """Two dryers, two steamers, three tables (slicer at T1), three hands: enough for every rule."""
    small = Kitchen(
        id="small",
        name="Small Kitchen",
        place="nowhere",
        zone=ZONE,
        currency="USD",
        weight_unit="kg",
        temperature_unit="C",
        staffed=(
            *weekly("Mon Tue Wed Thu Fri", "07:00", "19:00"),
            *weekly("Sat", "07:00", "13:00"),
        ),
        closures=(),
        groups=GROUPS,
        dryers=(dryer("D1"), dryer("D2")),
        steamers=(steamer("S1", 12_000, 9000), steamer("S2", 8_000, 6000, basket_area_cm2=4000)),
        chill_tubs=(ChillTub("C1", "Chill tub", Grams(25_000), minutes(20)),),
        wash_lines=(WashLine("W1", "Wash line", Grams(120_000)),),
        tables=(
            Table("T1", "Table 1", 150),
            Table("T2", "Table 2", 100),
            Table("T3", "Table 3", 100),
        ),
        benches=(PackingBench("P1", "Packing bench", 40),),
        cold_store=ColdStore("K1", "Cold store", 7, 5, Grams(10_000), 3.0),
        freezers=(),
        meters=(),
        hands=HANDS,
        on_call=(),
        limits=LIMITS,
        fees=FEES,
        goals=("worth", "keeping", "spend", "calm"),
        kwh_per_kg_water=1.8,
        source="demo",
    )
    return replace(small, **changes)


def card(name: str, **changes: Any) -> ProcessCard:
    """An unsteamed mild crop: 3 kg a rack of 0.6 m2, 15 h at 57 C; split from 18 racks."""
    mild = ProcessCard(
        id=name,
        name=name,
        cut="slices",
        group="mild",
        trim_loss_percent=6.0,
        water_in_percent=94.0,
        water_out_percent=8.0,
        g_per_m2=5000,
        set_point_c=57.0,
        tolerance_c=3.0,
        drying_s=hours(15),
        steam_s=Seconds(0),
        keeping_s=hours(36),
        pair_g_per_h=Grams(40_000),
        takes_slicer=True,
        loose_g_per_l=400,
        waits_outside_cold=False,
        rest_s=Seconds(0),
        pack_within_s=hours(72),
        bag_g=Grams(100),
        least_racks=Racks(6),
        split_from_racks=Racks(18),
        most_charges=3,
        dry_check=DryCheck(0.55, 10.0),
        approved=True,
        source="demo",
    )
    return replace(mild, **changes)


def grower(name: str, *, people: int = 2, **changes: Any) -> Grower:
    return replace(Grower(name, f"Grower {name}", f"Farm {name}", 3, people, (), ()), **changes)


def note(name: str, grower_id: str, card_id: str, field_g: int, **changes: Any) -> HarvestNote:
    """A note that arrives Monday at opening and keeps all week, unless told otherwise."""
    plain = HarvestNote(
        name,
        grower_id,
        card_id,
        Grams(field_g),
        arrives=at("Mon 07:00"),
        latest_start=at("Sun 07:00"),
    )
    return replace(plain, **changes)


def steam_load(
    steamer_id: str, start: str, *, steam: float, grams: int, chilled: str, tub_id: str = "C1"
) -> SteamLoad:
    """A basket put in at start for so many minutes of steam and six of handling."""
    into = at(start)
    steamed = into + timedelta(minutes=steam)
    out = steamed + timedelta(minutes=6)
    return SteamLoad(steamer_id, tub_id, into, steamed, out, at(chilled), Grams(grams))
