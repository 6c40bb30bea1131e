"""Tiny kitchens in which every duration and limit is a multiple of half an hour. All figures demo.

A rack holds 4 kg; for each rack of it a charge takes half an hour at the wash line, an hour of the
pair's cutting, one steam load of half an hour, and half an hour of packing.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.kitchen import (
    ChillTub,
    ColdStore,
    Hand,
    Kitchen,
    PackingBench,
    Table,
    WashLine,
)
from scheduler.domain.process_card import ProcessCard
from scheduler.units import Grams, Racks, Seconds
from tests import builders
from tests.builders import DAYS, GROUPS, LIMITS, WEEK, at, hours, minutes, weekly

SLOT = timedelta(minutes=30)
SLOT_S = minutes(30)
OPENS = 16  # slot of opening: 08:00
DAY = 48  # slots
RACK_G = 4000


@dataclass(frozen=True, slots=True)
class Lot:
    """Times in slots from Monday's midnight; drying in slots."""

    racks: int
    arrives: int
    latest: int
    grower: str = "G1"
    group: str = "mild"
    drying: int = 8
    steamed: bool = False
    splits: bool = True


@dataclass(frozen=True, slots=True)
class Tiny:
    """A kitchen that is open from Monday on, each day alike, all hands on shift.

    dryers: their racks. shift: slots a day from 08:00. supply: watts, in thousands. alone: growers
    who come without a second person. away: grower, from, to. The last three are limits in slots.
    """

    lots: tuple[Lot, ...]
    dryers: tuple[int, ...] = (2,)  # racks
    days: int = 3
    shift: int = 12
    hands: int = 3
    tables: int = 2
    crates: int = 20
    supply: int = 100_000
    alone: frozenset[str] = frozenset()
    away: tuple[tuple[str, int, int], ...] = ()
    pack_within: int = 2 * DAY
    cool_hold: int = 16
    unloaded_within: int = 2

    def growers(self) -> list[str]:
        return sorted({lot.grower for lot in self.lots})


def instant(slot: int) -> datetime:
    """The mark at which a slot begins."""
    return at("Mon 00:00") + slot * SLOT


def asked(tiny: Tiny) -> Asked:
    """The same kitchen as the planner sees it."""
    return Asked(
        name="tiny",
        title="A tiny kitchen",
        kitchen=_kitchen(tiny),
        week=WEEK,
        cards=tuple(_card(tiny, n, lot) for n, lot in enumerate(tiny.lots)),
        growers=tuple(
            builders.grower(
                name,
                people=1 if name in tiny.alone else 2,
                away=tuple(
                    Span(instant(start), instant(end))
                    for who, start, end in tiny.away
                    if who == name
                ),
            )
            for name in tiny.growers()
        ),
        notes=tuple(_note(n, lot) for n, lot in enumerate(tiny.lots)),
    )


def _kitchen(tiny: Tiny) -> Kitchen:
    closes = f"{8 + tiny.shift // 2:02d}:{30 * (tiny.shift % 2):02d}"
    open_hours = weekly(" ".join(DAYS[: tiny.days]), "08:00", closes)
    dryers = (
        builders.dryer(
            f"D{n}",
            racks=Racks(racks),
            rack_area_cm2=8000,
            watts=6000,
            full_draw_s=hours(2),
            later_draw_percent=50,
        )
        for n, racks in enumerate(tiny.dryers)
    )
    steamer = builders.steamer("S1", RACK_G, 4000, basket_area_cm2=9000, handling_s=minutes(10))
    return builders.kitchen(
        staffed=open_hours,
        groups=tuple(replace(group, change_over_s=minutes(0)) for group in GROUPS),
        dryers=tuple(dryers),
        steamers=(steamer,),
        chill_tubs=(ChillTub("C1", "Chill tub", Grams(3 * RACK_G), minutes(30)),),
        wash_lines=(WashLine("W1", "Wash line", Grams(2 * RACK_G)),),
        tables=tuple(Table(f"T{n}", f"Table {n}", 100) for n in range(tiny.tables)),
        benches=(PackingBench("P1", "Packing bench", 8),),
        cold_store=ColdStore("K1", "Cold store", tiny.crates, 0, Grams(RACK_G), 3.0),
        hands=tuple(Hand(f"H{n}", "hand", open_hours) for n in range(tiny.hands)),
        limits=replace(
            LIMITS,
            cool_hold_most_s=Seconds(tiny.cool_hold * SLOT_S),
            unloaded_within_s=Seconds(tiny.unloaded_within * SLOT_S),
            steam_to_dryer_s=minutes(130),
            last_rack_s=minutes(30),
            change_over_s=minutes(0),
            sample_closed_s=minutes(20),
            dry_check_s=minutes(30),
            supply_watts=tiny.supply,
        ),
    )


def _card(tiny: Tiny, number: int, lot: Lot) -> ProcessCard:
    return builders.card(
        f"C{number}",
        group=lot.group,
        trim_loss_percent=0.0,
        water_in_percent=90.0,
        water_out_percent=0.0,
        g_per_m2=5000,
        set_point_c=57.0,
        drying_s=Seconds(lot.drying * SLOT_S),
        steam_s=minutes(20 if lot.steamed else 0),
        pair_g_per_h=Grams(RACK_G),
        takes_slicer=False,
        loose_g_per_l=1000,
        pack_within_s=Seconds(tiny.pack_within * SLOT_S),
        least_racks=Racks(1),
        split_from_racks=Racks(2),
        most_charges=3,
    )


def _note(number: int, lot: Lot) -> HarvestNote:
    return builders.note(
        f"N{number}",
        lot.grower,
        f"C{number}",
        lot.racks * RACK_G,
        arrives=instant(lot.arrives),
        latest_start=instant(lot.latest),
        may_split=lot.splits,
    )
