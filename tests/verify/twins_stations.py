"""Twins of rule 11: stations, their number, and what is down."""

from __future__ import annotations

from dataclasses import replace

from scheduler.domain.outage import Happened, Outage
from scheduler.domain.plan import GROWER, HANDS, Duty, TablePlace
from scheduler.units import Grams
from tests.builders import at, span
from tests.verify.changes import (
    and_duties,
    with_after,
    with_kitchen,
    with_load,
    with_preparation,
    with_run,
    without_station,
)
from tests.verify.twin import Change, Twin

BOTH_AT_T1 = (
    Duty("Lotte", "cut", "T1", "N6", span("Fri 11:15", "11:45")),
    Duty("Jun", "cut", "T1", "N6", span("Fri 11:15", "11:45")),
)


def stopped(station_id: str, since: str, back: str | None) -> Happened:
    return Happened(outages=(Outage(station_id, at(since), at(back) if back else None),))


def down(station_id: str, since: str, back: str | None) -> Change:
    return lambda a, p: (replace(a, happened=stopped(station_id, since, back)), p)


STATIONS = (
    Twin(
        "two charges at the wash line",
        11,
        lambda a, p: (a, with_preparation(p, "N4", wash=span("Tue 08:40", "08:55"))),
        without=("tables",),
        says="N4 is washed at W1",
    ),
    Twin(
        "two charges at a table",
        11,
        lambda a, p: (a, with_preparation(p, "N4", tables=(TablePlace("T1", GROWER),))),
        without=("tables",),
        says="N2 B is cut at T1 from Tue 18 Aug 10:00, where N4 is cut until Tue 18 Aug 10:30",
    ),
    Twin(
        "one table counted twice",
        11,
        lambda a, p: (
            a,
            and_duties(
                with_preparation(
                    p, "N6", tables=(TablePlace("T1", GROWER), TablePlace("T1", HANDS))
                ),
                *BOTH_AT_T1,
            ),
        ),
        without=("tables",),
    ),
    Twin(
        "a tub fuller than it may be, twice",
        11,
        lambda a, p: (
            with_kitchen(a, chill_tubs=(replace(a.kitchen.chill_tubs[0], holds_g=Grams(17_999)),)),
            p,
        ),
        faults=2,
        without=("steamers",),
        says="Chill tub C1 holds 18 kg of 17.999 kg, Tue 18 Aug 10:27 to Tue 18 Aug 10:36",
    ),
    Twin(
        "two charges at the packing bench",
        11,
        lambda a, p: (a, with_after(p, "N2 A", packing=span("Wed 10:40", "11:15"))),
        without=("packing",),
    ),
    Twin(
        "a crate more than the cold store has",
        11,
        lambda a, p: (
            with_kitchen(a, cold_store=replace(a.kitchen.cold_store, crates=6)),
            p,
        ),
        without=("cold_store",),
        says="K1 would hold 7 crates of 6, Mon 17 Aug 08:00 to Mon 17 Aug 08:30",
    ),
    Twin(
        "a dryer that the kitchen does not have",
        11,
        lambda a, p: (a, with_run(p, "D2 Fri", dryer_id="D9")),
        says="no dryer D9",
    ),
    Twin("a missing table", 11, lambda a, p: (without_station(a, "tables", "T2"), p)),
    Twin("a missing steamer", 11, lambda a, p: (without_station(a, "steamers", "S2"), p)),
    Twin(
        "a missing wash line",
        11,
        lambda a, p: (a, with_preparation(p, "N6", wash_line_id="W9")),
    ),
    Twin(
        "a missing chill tub",
        11,
        lambda a, p: (a, with_load(p, "N4", 0, tub_id="C9")),
    ),
    Twin(
        "a missing packing bench",
        11,
        lambda a, p: (a, with_after(p, "N6", bench_id="P9")),
        without=("packing",),
    ),
)


DOWN = tuple(
    Twin(name, 11, down(station, since, back), without=without)
    for name, station, since, back, without in (
        ("the wash line is down", "W1", "Wed 11:00", "Wed 12:01", ("tables",)),
        ("a table is down", "T3", "Tue 08:34", "Tue 09:30", ("tables",)),
        ("a steamer is down", "S2", "Wed 12:00", "Wed 12:51", ("steamers",)),
        ("the tub is down", "C1", "Wed 13:29", "Wed 14:00", ("steamers",)),
        ("the bench is down for good", "P1", "Fri 12:00", None, ("packing",)),
        ("the cold store is down", "K1", "Tue 09:59", "Tue 11:00", ("cold_store",)),
        ("a dryer is down while drying", "D2", "Fri 20:00", "Fri 21:00", ()),
        ("a dryer is down while unloaded", "D2", "Sat 07:29", "Sat 12:00", ()),
    )
)


TWINS = (
    *STATIONS,
    *DOWN,
)
ALLOWED = (
    Twin(
        "a dryer stops when it has been unloaded",
        11,
        down("D2", "Sat 07:30", None),
        faults=0,
    ),
    Twin(
        "a dryer is back when its run starts",
        11,
        down("D2", "Wed 08:00", "Fri 12:00"),
        faults=0,
    ),
    Twin(
        "a table stops and is back between two charges",
        11,
        down("T3", "Tue 08:35", "Tue 09:30"),
        faults=0,
    ),
    Twin(
        "a tub as full as it may be",
        11,
        lambda a, p: (
            with_kitchen(a, chill_tubs=(replace(a.kitchen.chill_tubs[0], holds_g=Grams(18_000)),)),
            p,
        ),
        faults=0,
    ),
)
