"""One Tuesday made by hand with every kind of work on it: a plan to read, not a faultless one.

Kale (R07, steamed in two steamers) and a mushroom lot of the day before meet in one dryer's day;
tomatoes (R09) fill the cart dryer and stay overnight.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.plan import (
    GROWER,
    HANDS,
    AfterDryer,
    Charge,
    Duty,
    Plan,
    Preparation,
    Proof,
    Run,
    SteamLoad,
    TablePlace,
    Waiting,
)
from scheduler.units import Grams, Racks

MONDAY, TUESDAY, WEDNESDAY = 0, 1, 2


class Clock:
    """Instants of the week by weekday and wall clock."""

    def __init__(self, asked: Asked) -> None:
        self.asked = asked

    def at(self, weekday: int, clock: str) -> datetime:
        day = self.asked.week.monday + timedelta(days=weekday)
        local = datetime.fromisoformat(f"{day} {clock}").replace(tzinfo=self.asked.kitchen.zone)
        return local.astimezone(tz=self.asked.staffed()[0].start.tzinfo)

    def span(self, weekday: int, start: str, end: str) -> Span:
        return Span(self.at(weekday, start), self.at(weekday, end))


def worked_day(asked: Asked) -> Plan:
    clock = Clock(asked)
    kale, tomato, mushroom = _kale(clock), _tomato(clock), _mushroom(clock)
    return Plan(
        week=asked.week,
        rules="full",
        runs=(mushroom, tomato, kale),
        duties=(
            Duty("Sal Orrin", "unload", "D2", mushroom.id, clock.span(TUESDAY, "07:00", "07:30")),
            Duty("Sal Orrin", "wash-down", "D2", mushroom.id, clock.span(1, "07:30", "08:30")),
            Duty("Sal Orrin", "dry check", "A1", "R03", clock.span(TUESDAY, "08:30", "08:45")),
            Duty("Lotte Amberry", "cut", "T2", "R09", clock.span(TUESDAY, "09:10", "10:30")),
            Duty("Sal Orrin", "cut", "T2", "R09", clock.span(TUESDAY, "09:10", "10:30")),
            Duty("Lotte Amberry", "steam", "S1", "R07 A", clock.span(TUESDAY, "11:00", "11:40")),
            Duty("G03", "steam", "S2", "R07 A", clock.span(TUESDAY, "11:30", "12:00")),
        ),
        waiting=(
            Waiting(
                "R11",
                Grams(42_000),
                Grams(38_640),
                11,
                "All three tables are taken until its keeping time ends (rule 11).",
                "It would fit with one more table on Tuesday morning.",
                proved=True,
            ),
            Waiting(
                "R26",
                Grams(42_000),
                Grams(38_640),
                3,
                "No dryer may end in time on Friday (rule 3).",
            ),
        ),
        proof=Proof(Grams(185_750), Grams(210_000), Grams(150_000)),
        seed=1,
    )


def _mushroom(clock: Clock) -> Run:
    after = AfterDryer(
        dry_check=clock.span(TUESDAY, "08:30", "08:45"),
        bench_id="P1",
        packing=clock.span(WEDNESDAY, "08:00", "09:45"),
        bags=68,
    )
    charge = Charge(
        "R03", "", Racks(18), 1, Grams(35_000), Grams(32_200), preparation=None, after=after
    )
    return Run(
        id="D2-1",
        dryer_id="D2",
        set_point_c=50,
        start=clock.at(MONDAY, "17:45"),
        end=clock.at(TUESDAY, "01:45"),
        released=clock.at(TUESDAY, "07:00"),
        unload=clock.span(TUESDAY, "07:00", "07:30"),
        wash_down=clock.span(TUESDAY, "07:30", "08:30"),
        charges=(charge,),
    )


def _tomato(clock: Clock) -> Run:
    made = Preparation(
        wash_line_id="W1",
        wash=clock.span(TUESDAY, "08:05", "09:10"),
        cut=clock.span(TUESDAY, "09:10", "10:30"),
        tables=(TablePlace("T1", GROWER), TablePlace("T2", HANDS)),
        steam_loads=(),
        last_rack=clock.at(TUESDAY, "10:40"),
    )
    charge = Charge("R09", "", Racks(40), 1, Grams(125_000), Grams(117_500), made)
    return Run(
        id="D3-1",
        dryer_id="D3",
        set_point_c=57,
        start=clock.at(TUESDAY, "11:15"),
        end=clock.at(WEDNESDAY, "02:15"),
        released=clock.at(WEDNESDAY, "07:00"),
        unload=clock.span(WEDNESDAY, "07:00", "07:45"),
        wash_down=None,
        charges=(charge,),
    )


def _load(clock: Clock, steamer_id: str, at: str, kilos: float) -> SteamLoad:
    start = clock.at(TUESDAY, at)
    steamed = start + timedelta(seconds=150)
    end = steamed + timedelta(minutes=6)
    return SteamLoad(
        steamer_id, "C1", start, steamed, end, end + timedelta(minutes=20), Grams(int(kilos * 1000))
    )


def _kale(clock: Clock) -> Run:
    loads = (
        _load(clock, "S1", "11:00:00", 4.5),
        _load(clock, "S1", "11:08:30", 4.5),
        _load(clock, "S1", "11:17:00", 4.5),
        _load(clock, "S2", "11:34:00", 3.0),
    )
    made = Preparation(
        wash_line_id="W1",
        wash=clock.span(TUESDAY, "09:10", "09:40"),
        cut=clock.span(TUESDAY, "10:30", "11:30"),
        tables=(TablePlace("T3", GROWER),),
        steam_loads=loads,
        last_rack=clock.at(TUESDAY, "12:12:30"),
    )
    charge = Charge("R07", "A", Racks(19), 1, Grams(27_500), Grams(17_875), made)
    return Run(
        id="D2-2",
        dryer_id="D2",
        set_point_c=57,
        start=clock.at(TUESDAY, "12:30"),
        end=clock.at(TUESDAY, "18:30"),
        released=clock.at(TUESDAY, "18:30"),
        unload=clock.span(TUESDAY, "18:30", "19:00"),
        wash_down=None,
        charges=(charge,),
    )
