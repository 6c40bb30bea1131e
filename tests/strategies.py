"""Random small kitchens for Hypothesis: over-subscribed, every rule in play. All demo."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from typing import Any

from hypothesis import strategies as st

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week, WeeklyHours
from scheduler.domain.harvest import Grower, HarvestNote
from scheduler.domain.kitchen import (
    ChillTub,
    ColdStore,
    Dryer,
    Group,
    Hand,
    Kitchen,
    PackingBench,
    Table,
    WashLine,
)
from scheduler.domain.outage import Happened, Outage, StartedCharge, StartedRun
from scheduler.domain.process_card import ProcessCard
from scheduler.process.racks import rack_holds_g
from scheduler.process.yields import trimmed_g
from scheduler.units import Grams, Racks, Seconds
from tests import builders
from tests.builders import DAYS, GROUPS, LIMITS, WEEK, at, hours, minutes, weekly

Draw = st.DrawFn
ALL_GROUPS = (*GROUPS, Group("aroma", "Aroma", 5, "wave", Seconds(0), frozenset()))
NAMES = tuple(group.id for group in ALL_GROUPS)
CLOCK_CHANGE = Week(2026, 44)  # clocks go back on its Sunday
OPENING = (
    (WEEK, "Mon Tue Wed"),
    (WEEK, "Mon Tue Wed Thu"),
    (WEEK, "Mon Wed Thu"),
    (CLOCK_CHANGE, "Fri Sat Sun Mon"),
)
STRETCHES = (
    (("07:00", "19:00"),),
    (("08:00", "17:00"),),
    (("07:00", "12:00"), ("13:00", "18:00")),
    (("06:00", "23:00"),),
    (("00:00", "00:00"),),
)
SHIFTS = (("06:00", "23:00"), ("07:30", "17:00"), ("07:00", "13:00"), ("12:58", "19:00"))
MORE_THAN_FITS = (110, 140)  # percent of what the dryers hold if each runs once a day


@st.composite
def kitchens(draw: Draw, *, with_past: bool = True) -> Asked:
    """A kitchen of one to three dryers, open for three or four days, and its notes."""
    week, days = draw(st.sampled_from(OPENING))
    kitchen = draw(_kitchens(days))
    cards = tuple(draw(_cards(f"C{place}")) for place in range(draw(st.integers(2, 5))))
    growers = tuple(draw(_growers(f"G{place}")) for place in range(draw(st.integers(2, 5))))
    notes = draw(_notes(kitchen, cards, growers))
    asked = Asked("small", "A small kitchen", kitchen, WEEK, cards, growers, notes)
    if week != WEEK:
        asked = _moved(asked, week, by=DAYS.index(days[:3]))
    if with_past and week == WEEK and draw(st.integers(0, 3)) == 0:
        return replace(asked, happened=draw(_happened(asked)))
    return asked


def _moved(asked: Asked, week: Week, *, by: int) -> Asked:
    """The same notes in another week, so many days further into it, by the clock."""
    zone, shift = asked.kitchen.zone, week.monday - WEEK.monday + timedelta(days=by)

    def moved(instant: datetime) -> datetime:
        local = instant.astimezone(zone).replace(tzinfo=None) + shift
        return local.replace(tzinfo=zone).astimezone(UTC)

    notes = tuple(
        replace(note, arrives=moved(note.arrives), latest_start=moved(note.latest_start))
        for note in asked.notes
    )
    return replace(asked, week=week, notes=notes)


@st.composite
def _kitchens(draw: Draw, days: str) -> Kitchen:
    staffed = [
        each for hours_ in draw(st.sampled_from(STRETCHES)) for each in weekly(days, *hours_)
    ]
    closed = draw(st.sampled_from([(), (), (), (WEEK.monday + timedelta(days=1),)]))
    first = builders.steamer(
        "S1", 8000, draw(st.sampled_from([3000, 9000])), handling_s=Seconds(330)
    )
    smaller = builders.steamer("S2", 5000, 3000, basket_area_cm2=4000)
    steamers = (first, draw(st.sampled_from([smaller, replace(first, id="S2", name="Steamer S2")])))
    return builders.kitchen(
        staffed=tuple(staffed),
        closures=closed,
        groups=ALL_GROUPS,
        dryers=tuple(draw(_dryers(f"D{place}")) for place in range(draw(st.integers(1, 3)))),
        steamers=steamers[: draw(st.integers(1, 2))],
        chill_tubs=(
            ChillTub(
                "C1",
                "Tub",
                Grams(draw(st.sampled_from([9000, 25_000]))),
                minutes(draw(st.sampled_from([20, 20, 8, 33]))),
            ),
        ),
        wash_lines=_few(draw, _LINES),
        tables=_few(draw, _TABLES),
        benches=_few(draw, _BENCHES),
        cold_store=ColdStore("K1", "Cold store", draw(st.integers(5, 20)), 2, Grams(10_000), 3.0),
        hands=draw(_crews(days)),
        limits=replace(
            LIMITS,
            supply_watts=draw(st.sampled_from([15_000, 40_000, 11_000])),
            last_rack_s=draw(st.sampled_from([LIMITS.last_rack_s, minutes(5), minutes(42)])),
        ),
    )


_LINES = (WashLine("W1", "Line 1", Grams(120_000)), WashLine("W2", "Line 2", Grams(90_000)))
_TABLES = (Table("T1", "Table 1", 150), Table("T2", "Table 2", 100), Table("T3", "Table 3", 100))
_BENCHES = (PackingBench("P1", "Bench 1", 60), PackingBench("P2", "Bench 2", 40))


def _few(draw: Draw, things: tuple[Any, ...]) -> tuple[Any, ...]:
    """Some of a kitchen's stations, one at least."""
    return things[draw(st.integers(0, len(things) - 1)) :]


@st.composite
def _dryers(draw: Draw, name: str) -> Dryer:
    taken = draw(st.sampled_from([NAMES, NAMES, NAMES[:2], NAMES[2:]]))
    return builders.dryer(
        name,
        racks=Racks(draw(st.integers(5, 14))),
        rack_area_cm2=draw(st.sampled_from([6000, 6000, 6000, 4000])),
        watts=draw(st.sampled_from([3000, 7500])),
        full_draw_s=hours(draw(st.integers(0, 3))),
        later_draw_percent=draw(st.sampled_from([40, 60, 100])),
        groups=frozenset(taken),
        turn_round_s=minutes(draw(st.sampled_from([45, 60]))),
        unload_s=minutes(draw(st.sampled_from([15, 30]))),
        wash_down_s=minutes(draw(st.sampled_from([30, 60]))),
        runs_unattended=draw(st.integers(0, 4)) < 4,
    )


@st.composite
def _crews(draw: Draw, days: str) -> tuple[Hand, ...]:
    """One to five hands; the second and third often share a place, one after the other."""
    shifts = draw(st.lists(st.sampled_from(SHIFTS), max_size=2))
    shifts = [SHIFTS[0], *shifts, *(SHIFTS[2:] if draw(st.booleans()) else ())]
    return tuple(
        Hand(f"H{place}", "hand", weekly(days, *shift)) for place, shift in enumerate(shifts)
    )


@st.composite
def _cards(draw: Draw, name: str) -> ProcessCard:
    """A third of the crops is steamed."""
    steamed = draw(st.integers(0, 2)) == 2
    least = draw(st.integers(2, 4))
    return builders.card(
        name,
        group=draw(st.sampled_from(NAMES)),
        trim_loss_percent=draw(st.sampled_from([0.0, 6.0, 12.5])),
        set_point_c=draw(st.sampled_from([50.0, 54.5, 57.0])),
        tolerance_c=draw(st.sampled_from([3.0, 3.0, 0.0])),
        drying_s=hours(draw(st.sampled_from([13, 10, 4, 2, 15]))),
        steam_s=minutes(draw(st.sampled_from([3, 4.5]))) if steamed else Seconds(0),
        pair_g_per_h=Grams(draw(st.sampled_from([20_000, 40_000]))),
        takes_slicer=draw(st.booleans()),
        waits_outside_cold=draw(st.integers(0, 2)) < 2,
        rest_s=hours(draw(st.sampled_from([0, 4]))),
        pack_within_s=hours(draw(st.sampled_from([30, 100]))),
        least_racks=Racks(least),
        split_from_racks=Racks(2 * least),
        most_charges=draw(st.integers(2, 3)),
    )


@st.composite
def _growers(draw: Draw, name: str) -> Grower:
    cannot = draw(
        st.lists(
            st.builds(
                lambda day, opens: WeeklyHours(day, time(opens), time(opens + 3, 2)),
                st.integers(0, 3),
                st.integers(7, 15),
            ),
            max_size=2,
        )
    )
    return builders.grower(name, people=draw(st.sampled_from([2, 2, 1])), cannot=tuple(cannot))


@st.composite
def _notes(
    draw: Draw, kitchen: Kitchen, cards: tuple[ProcessCard, ...], growers: tuple[Grower, ...]
) -> tuple[HarvestNote, ...]:
    """Notes until they ask for more racks than there are."""
    days = len({each.weekday for each in kitchen.staffed})
    percent = draw(st.integers(*MORE_THAN_FITS))
    wanted = sum(dryer.racks for dryer in kitchen.dryers) * days * percent // 100
    notes: list[HarvestNote] = []
    while wanted > 0:
        racks = min(draw(st.integers(2, 16)), wanted + 1)
        note = draw(_one_note(f"N{len(notes)}", cards, growers, (racks, days)))
        notes.append(note)
        wanted -= racks
    return tuple(notes)


@st.composite
def _one_note(
    draw: Draw,
    name: str,
    cards: tuple[ProcessCard, ...],
    growers: tuple[Grower, ...],
    size: tuple[int, int],
) -> HarvestNote:
    """size: racks, and the days over which arrivals are spread."""
    card, (racks, days) = draw(st.sampled_from(cards)), size
    day = DAYS[draw(st.integers(0, days - 1))]
    clock = draw(st.sampled_from(["06:00", "07:30", "09:01:30", "11:00"]))
    arrives = at(f"{day} {clock}")
    rack_g = rack_holds_g(card.g_per_m2, 6000)
    return builders.note(
        name,
        draw(st.sampled_from(growers)).id,
        card.id,
        max(1000, racks * rack_g - draw(st.integers(0, rack_g - 1))),
        arrives=arrives,
        latest_start=arrives + timedelta(hours=draw(st.sampled_from([48, 30, 9, 4])), seconds=77),
        may_split=draw(st.integers(0, 3)) < 3,
    )


@st.composite
def _happened(draw: Draw, asked: Asked) -> Happened:
    """Tuesday morning: perhaps a started run, and a station that stopped, perhaps to come back."""
    now = at(draw(st.sampled_from(["Tue 08:00", "Tue 10:03"])))
    runs = (draw(_started(asked)),) if draw(st.booleans()) else ()
    stops = st.builds(
        lambda station, back: Outage(
            station, now, None if back is None else now + timedelta(minutes=back)
        ),
        st.sampled_from(stations(asked.kitchen)),
        st.sampled_from([None, 61, 240, 1500]),
    )
    return Happened(now, runs, tuple(draw(st.lists(stops, max_size=2))))


@st.composite
def _started(draw: Draw, asked: Asked) -> StartedRun:
    """The first note, as far as it goes in, in any dryer."""
    note, dryer = asked.notes[0], draw(st.sampled_from(asked.kitchen.dryers))
    card = asked.card(note.card_id)
    prepared = trimmed_g(note.field_g, card.trim_loss_percent)
    racks = min(dryer.racks, -(-prepared // rack_holds_g(card.g_per_m2, dryer.rack_area_cm2)))
    start = at(draw(st.sampled_from(["Mon 09:00", "Mon 16:20"])))
    end = start + timedelta(seconds=card.drying_s)
    return StartedRun(
        dryer.id, card.set_point_c, start, end, (StartedCharge(note.id, Racks(racks)),)
    )


def stations(kitchen: Kitchen) -> list[str]:
    """Everything that may stop."""
    kinds = (
        kitchen.dryers,
        kitchen.tables,
        kitchen.steamers,
        kitchen.chill_tubs,
        kitchen.wash_lines,
        kitchen.benches,
        (kitchen.cold_store,),
    )
    return [each.id for kind in kinds for each in kind]
