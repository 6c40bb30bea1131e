"""Twins of rules 9 and 10: the stream, steamers."""

from __future__ import annotations

from dataclasses import replace

from scheduler.domain.asked import Asked
from scheduler.domain.plan import GROWER, HANDS, Duty, Plan, TablePlace
from scheduler.units import Grams, Seconds
from tests.builders import at, minutes, span, steam_load
from tests.verify.changes import (
    and_duties,
    with_card,
    with_charge,
    with_duty,
    with_limits,
    with_load,
    with_note,
    with_preparation,
    with_station,
)
from tests.verify.twin import Twin

BOTH_AT_T1 = (
    Duty("Lotte", "cut", "T1", "N6", span("Fri 11:15", "11:45")),
    Duty("Jun", "cut", "T1", "N6", span("Fri 11:15", "11:45")),
)


def four_loads(asked: Asked, plan: Plan) -> tuple[Asked, Plan]:
    starts = (("10:05", "10:36"), ("10:16", "10:47"), ("10:27", "10:58"), ("10:38", "11:09"))
    loads = tuple(
        steam_load("S1", f"Tue {start}", steam=5, grams=6750, chilled=f"Tue {chilled}")
        for start, chilled in starts
    )
    plan = with_preparation(plan, "N4", steam_loads=loads, last_rack=at("Tue 11:19"))
    plan = with_duty(plan, "steam", "N4", "G3", span=span("Tue 10:30", "10:49"))
    return with_limits(asked, supply_watts=36_000), plan


def steamed_pepper(asked: Asked, plan: Plan) -> tuple[Asked, Plan]:
    load = steam_load("S1", "Fri 11:45", steam=5, grams=16_400, chilled="Fri 12:16")
    plan = with_preparation(plan, "N6", steam_loads=(load,))
    return asked, and_duties(plan, Duty("Jun", "steam", "S1", "N6", span("Fri 11:45", "11:56")))


def an_odd_gram_of_bean(asked: Asked, plan: Plan) -> tuple[Asked, Plan]:
    """30.002 kg of bean, 27.001 kg prepared: three loads cannot be quite equal."""
    plan = with_charge(plan, "N4", field_g=Grams(30_002), prepared_g=Grams(27_001))
    plan = with_load(plan, "N4", 0, grams=Grams(9001))
    plan = with_preparation(
        plan, "N4", wash=span("Tue 08:05", "08:25"), cut=span("Tue 09:25", "10:30")
    )
    return with_note(asked, "N4", field_g=Grams(30_002)), replace(plan, proof=None)


STREAM = (
    Twin(
        "no preparation planned",
        9,
        lambda a, p: (a, with_charge(p, "N6", preparation=None)),
        says="N6 has no washing",
    ),
    Twin(
        "cut before its washing ends",
        9,
        lambda a, p: (a, with_preparation(p, "N5", wash=span("Wed 12:20", "12:35"))),
        says="before its washing ends",
    ),
    Twin(
        "washed in less time than its weight takes",
        9,
        lambda a, p: (a, with_preparation(p, "N5", wash=span("Wed 12:00", "12:10"))),
        says="N5 is washed in 10 min; its weight takes 12 min",
    ),
    Twin(
        "cut in less time than its crew takes",
        9,
        lambda a, p: (a, with_preparation(p, "N5", cut=span("Wed 12:30", "12:55"))),
        says="N5 is cut in 25 min; its crews take 27 min 26 s",
    ),
    Twin(
        "cut without the slicer that its card counts on",
        9,
        lambda a, p: (a, with_preparation(p, "N6", tables=(TablePlace("T2", GROWER),))),
        says="its crews take 40 min",
    ),
    Twin(
        "the grower at two tables",
        9,
        lambda a, p: (
            a,
            with_preparation(
                p, "N2 A", tables=(TablePlace("T1", GROWER), TablePlace("T2", GROWER))
            ),
        ),
        says="its grower at 2 tables",
    ),
    Twin(
        "the grower at no table",
        9,
        lambda a, p: (
            a,
            and_duties(with_preparation(p, "N6", tables=(TablePlace("T1", HANDS),)), *BOTH_AT_T1),
        ),
        says="its grower at 0 tables",
    ),
    Twin(
        "cut by somebody else",
        9,
        lambda a, p: (
            a,
            with_preparation(
                p, "N6", tables=(TablePlace("T1", GROWER), TablePlace("T2", "friends"))
            ),
        ),
        says="friends",
    ),
    Twin(
        "last rack sooner than it can be filled",
        9,
        lambda a, p: (a, with_preparation(p, "N6", last_rack=at("Fri 11:54:59"))),
        says="last rack filled Fri 21 Aug 11:54:59; that is done Fri 21 Aug 11:55",
    ),
    Twin(
        "last rack later than it is filled",
        9,
        lambda a, p: (a, with_preparation(p, "N4", last_rack=at("Tue 11:12"))),
    ),
    Twin(
        "a basket steamed before it is cut",
        9,
        lambda a, p: (
            a,
            with_load(
                p,
                "N5",
                0,
                start=at("Wed 12:39:59"),
                steamed=at("Wed 12:43:59"),
                end=at("Wed 12:49:59"),
                chilled=at("Wed 13:09:59"),
            ),
        ),
        says="basket 1 of 3",
    ),
    Twin(
        "a basket waits too long for steam",
        9,
        lambda a, p: (with_limits(a, cut_to_steam_s=Seconds(minutes(15) - 1)), p),
        without=("waits",),
        says="15 min after it was cut",
    ),
    Twin(
        "too long from steam to dryer",
        9,
        lambda a, p: (with_limits(a, steam_to_dryer_s=Seconds(minutes(110) - 1)), p),
        without=("waits",),
        says="1 h 50 min after the end of its first steaming",
    ),
    Twin(
        "too long from cut to dryer",
        9,
        lambda a, p: (with_limits(a, cut_to_dryer_s=Seconds(minutes(120) - 1)), p),
        without=("waits",),
        says="N2 B starts drying 2 h after the start of its cutting",
    ),
)


STEAMERS = (
    Twin(
        "loads heavier than the steamer takes",
        10,
        lambda a, p: (with_station(a, "steamers", "S1", load_g=Grams(8999)), p),
        faults=3,
        says="N4 has a load of 9 kg in S1, which takes 8.999 kg",
    ),
    Twin(
        "loads deeper than the basket",
        10,
        lambda a, p: (with_card(a, "bean", loose_g_per_l=299), p),
        faults=3,
        says="which takes 8.97 kg",
    ),
    Twin("more loads than one steamer needs", 10, four_loads, says="has 4 steam loads; 3 hold it"),
    Twin(
        "loads of unequal weight",
        10,
        lambda a, p: (
            a,
            with_load(with_load(p, "N4", 0, grams=Grams(9001)), "N4", 1, grams=Grams(8999)),
        ),
        says="unequal",
    ),
    Twin(
        "loads that hold less than the charge",
        10,
        lambda a, p: (a, with_load(p, "N4", 0, grams=Grams(8999))),
        says="has 26.999 kg in its steam loads and weighs 27 kg",
    ),
    Twin(
        "a load steamed a second short",
        10,
        lambda a, p: (a, with_load(p, "N4", 0, steamed=at("Tue 10:09:59"))),
        says="should be steamed Tue 18 Aug 10:10",
    ),
    Twin(
        "a load chilled a minute short",
        10,
        lambda a, p: (a, with_load(p, "N4", 0, chilled=at("Tue 10:35"))),
    ),
    Twin("steamed against its card", 10, steamed_pepper, says="its card asks for none"),
    Twin(
        "not steamed against its card",
        10,
        lambda a, p: (a, with_preparation(p, "N4", steam_loads=())),
        says="its card asks for steaming",
    ),
    Twin(
        "two loads in a steamer at once",
        10,
        lambda a, p: (
            a,
            with_load(
                p,
                "N4",
                1,
                start=at("Tue 10:15"),
                steamed=at("Tue 10:20"),
                end=at("Tue 10:26"),
                chilled=at("Tue 10:46"),
            ),
        ),
        without=("steamers",),
    ),
)


TWINS = (
    *STREAM,
    *STEAMERS,
)
ALLOWED = (
    Twin("loads that differ by a gram", 10, an_odd_gram_of_bean, faults=0),
    Twin(
        "waits as long as the limits",
        9,
        lambda a, p: (
            with_limits(
                a,
                cut_to_steam_s=minutes(15),
                steam_to_dryer_s=minutes(110),
                cut_to_dryer_s=minutes(120),
            ),
            p,
        ),
        faults=0,
    ),
    Twin(
        "loads as heavy as the steamer takes",
        10,
        lambda a, p: (with_station(a, "steamers", "S1", load_g=Grams(9000)), p),
        faults=0,
    ),
)
