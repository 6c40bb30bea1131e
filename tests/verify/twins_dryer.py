"""Twins of rules 5 to 8: racks, climate, loading together, turn-round, wash-down, change-over."""

from __future__ import annotations

from dataclasses import replace

from scheduler.domain.asked import Asked
from scheduler.domain.plan import Duty, Plan, Run
from scheduler.units import Grams, Racks, Seconds
from tests.builders import at, hours, minutes, span
from tests.verify.changes import (
    and_duties,
    dry_checked,
    unloaded,
    washed_down,
    with_after,
    with_card,
    with_charge,
    with_duty,
    with_limits,
    with_note,
    with_preparation,
    with_run,
    with_station,
)
from tests.verify.twin import Twin


def unproved(plan: Plan) -> Plan:
    """Without the proof, whose sums would tell of changed weights too."""
    return replace(plan, proof=None)


def both_charges_in_one_run(asked: Asked, plan: Plan) -> tuple[Asked, Plan]:
    """Tomato B joins tomato A in Monday's run, which starts later for it."""
    plan = with_preparation(
        plan,
        "N2 B",
        wash=span("Mon 09:00", "09:15"),
        cut=span("Mon 09:15", "09:40"),
        last_rack=at("Mon 09:50"),
    )
    plan = with_charge(plan, "N2 B", first_rack=13)
    plan = with_after(plan, "N2 B", packing=span("Wed 11:00", "11:20"))
    plan = dry_checked(plan, "N2 B", span("Tue 08:45", "09:00"))
    tuesday = next(run for run in plan.runs if run.id == "D1 Tue")
    monday = next(run for run in plan.runs if run.id == "D2 Mon")
    bean, tomato_b = tuesday.charges
    plan = with_run(plan, "D1 Tue", charges=(bean,), end=at("Tue 23:00"))
    charges = (*monday.charges, tomato_b)
    plan = with_run(plan, "D2 Mon", charges=charges, start=at("Mon 09:50"), end=at("Tue 00:50"))
    return asked, plan


def empty_run(asked: Asked, plan: Plan) -> tuple[Asked, Plan]:
    nothing = Run(
        id="D2 Thu",
        dryer_id="D2",
        set_point_c=57.0,
        start=at("Thu 08:00"),
        end=at("Thu 18:00"),
        released=at("Thu 18:00"),
        unload=span("Thu 18:00", "18:30"),
        wash_down=None,
        charges=(),
    )
    plan = replace(plan, runs=(*plan.runs, nothing))
    return asked, and_duties(plan, Duty("Jun", "unload", "D2", "D2 Thu", span("Thu 18:00", "18:30")))


def one_rack_too_many(asked: Asked, plan: Plan) -> tuple[Asked, Plan]:
    plan = with_charge(plan, "N4", first_rack=9)
    return asked, with_charge(plan, "N2 B", racks=Racks(8))


RACKS = (
    Twin(
        "a rack too few for a whole lot",
        5,
        lambda a, p: (a, with_charge(p, "N6", racks=Racks(6))),
        says="needs 7 racks whole and has 6",
    ),
    Twin(
        "a rack too many for a whole lot",
        5,
        lambda a, p: (a, with_charge(p, "N6", racks=Racks(8))),
    ),
    Twin("the charges of a split lot take a rack too many", 5, one_rack_too_many, says="20 racks"),
    Twin(
        "a run fuller than its dryer",
        5,
        lambda a, p: (with_station(a, "dryers", "D1", racks=Racks(18)), p),
        says="holds 19 racks of 18",
    ),
    Twin(
        "two charges on one rack",
        5,
        lambda a, p: (a, with_charge(p, "N4", first_rack=7)),
        says="share rack 7",
    ),
    Twin(
        "racks beyond the last one",
        5,
        lambda a, p: (a, with_charge(p, "N6", first_rack=15)),
        says="racks 15 to 21 of 20",
    ),
    Twin("a rack before the first", 5, lambda a, p: (a, with_charge(p, "N6", first_rack=0))),
    Twin(
        "a charge holds a gram more than its share",
        5,
        lambda a, p: (a, unproved(with_charge(p, "N2 A", prepared_g=Grams(35_622)))),
        says="35.622 kg prepared weight; 12 of 19 racks are 35.621 kg",
    ),
    Twin(
        "a charge holds a gram of field weight less than its share",
        5,
        lambda a, p: (a, unproved(with_charge(p, "N6", field_g=Grams(19_999)))),
        says="field weight",
    ),
)

CLIMATE = (
    Twin(
        "a set point that one card does not accept",
        6,
        lambda a, p: (a, with_run(p, "D1 Tue", set_point_c=60.5)),
        says="N2 B dries at 60.5 C; its card asks 57 C within 3 C",
    ),
    Twin(
        "a set point below the dryer's range",
        6,
        lambda a, p: (with_station(a, "dryers", "D2", coolest_c=52.0), p),
        says="outside its range",
    ),
    Twin(
        "a group that the dryer does not take",
        6,
        lambda a, p: (
            with_station(a, "dryers", "D2", groups=frozenset({"mild", "strong", "hot"})),
            p,
        ),
        says="does not take the group sweet",
    ),
    Twin(
        "two groups in a run",
        6,
        lambda a, p: (with_card(a, "bean", group="sweet"), p),
        says="mixes the groups mild, sweet",
    ),
    Twin(
        "a run shorter than its longest charge",
        6,
        lambda a, p: (a, with_run(p, "D2 Fri", end=at("Fri 23:00"))),
        says="dries 11 h; its longest charge asks 12 h",
    ),
    Twin(
        "a run longer than its longest charge",
        6,
        lambda a, p: (a, with_run(p, "D2 Fri", end=at("Sat 00:05"))),
    ),
    Twin("two charges of a lot in one run", 6, both_charges_in_one_run, says="N2 has 2 charges"),
    Twin("a run that holds nothing", 6, empty_run, says="holds nothing"),
)

LOADING = (
    Twin(
        "a run starts before its last rack is in",
        7,
        lambda a, p: (a, with_run(p, "D2 Fri", start=at("Fri 11:50"), end=at("Fri 23:50"))),
        says="comes too late",
    ),
    Twin(
        "a last rack waits more than 90 minutes",
        7,
        lambda a, p: (
            a,
            with_preparation(
                p, "N2 B", cut=span("Tue 09:50", "10:15"), last_rack=at("Tue 10:25")
            ),
        ),
        without=("waits",),
        says="1 h 30 min at most",
    ),
)

BETWEEN_RUNS = (
    Twin(
        "too little time for the turn-round",
        8,
        lambda a, p: (with_station(a, "dryers", "D2", turn_round_s=minutes(106)), p),
        says="D2 needs 1 h 46 min of staffed time for turn-round",
    ),
    Twin(
        "too little time for turn-round and wash-down",
        8,
        lambda a, p: (with_station(a, "dryers", "D1", turn_round_s=minutes(291)), p),
        without=("wash_downs",),
        says="there are 5 h 50 min",
    ),
    Twin(
        "no wash-down after onion",
        8,
        lambda a, p: (a, with_run(p, "D1 Mon", wash_down=None)),
        without=("wash_downs",),
        says="is not washed down",
    ),
    Twin(
        "too little time beside unloading and wash-down",
        8,
        lambda a, p: (
            with_station(a, "dryers", "D1", turn_round_s=minutes(290)),
            unloaded(p, "D1 Mon", span("Mon 18:10", "18:45")),
        ),
        without=("wash_downs",),
        says="Beside unloading and wash-down",
    ),
    Twin(
        "a wash-down too short",
        8,
        lambda a, p: (a, washed_down(p, "D1 Mon", span("Tue 07:00", "07:55"))),
        without=("wash_downs",),
    ),
    Twin(
        "a wash-down before the dryer is empty",
        8,
        lambda a, p: (a, washed_down(p, "D1 Mon", span("Mon 17:30", "18:30"), who="Sal")),
        without=("wash_downs",),
    ),
    Twin(
        "a wash-down still going on at the next start",
        8,
        lambda a, p: (a, washed_down(p, "D1 Mon", span("Tue 11:30", "12:30"))),
        without=("wash_downs",),
    ),
    Twin(
        "an unloading too short",
        8,
        lambda a, p: (a, unloaded(p, "D2 Fri", span("Sat 07:00", "07:25"))),
        says="Unloading D2 takes 30 min, planned is 25 min",
    ),
)

CHANGE_OVERS = (
    Twin(
        "a table not changed over after onion",
        8,
        lambda a, p: (with_station(a, "groups", "strong", change_over_s=minutes(35)), p),
        without=("tables",),
        says="N2 A is cut at T1 30 min after N1; the change-over takes 35 min",
    ),
    Twin(
        "a table not changed over between growers",
        8,
        lambda a, p: (with_limits(a, change_over_s=minutes(56)), p),
        without=("tables",),
        says="N4 is cut at T3 55 min after N3",
    ),
)

TWINS = (*RACKS, *CLIMATE, *LOADING, *BETWEEN_RUNS, *CHANGE_OVERS)

ALLOWED = (
    Twin(
        "a set point at the end of the tolerance",
        6,
        lambda a, p: (a, with_run(p, "D1 Tue", set_point_c=60.0)),
        faults=0,
    ),
    Twin(
        "a last rack waits 90 minutes",
        7,
        lambda a, p: (
            a,
            with_preparation(
                p, "N2 B", cut=span("Tue 09:55", "10:20"), last_rack=at("Tue 10:30")
            ),
        ),
        faults=0,
    ),
    Twin(
        "just time enough for turn-round and wash-down",
        8,
        lambda a, p: (with_station(a, "dryers", "D1", turn_round_s=minutes(290)), p),
        faults=0,
    ),
    Twin(
        "the same grower and group follow without change-over",
        8,
        lambda a, p: (with_station(a, "groups", "mild", change_over_s=minutes(55)), p),
        faults=0,
    ),
    Twin(
        "a wash-down that no run asks for",
        8,
        lambda a, p: (
            a,
            and_duties(
                with_run(p, "D2 Fri", wash_down=span("Sat 07:30", "08:30")),
                Duty("Jun", "wash-down", "D2", "D2 Fri", span("Sat 07:30", "08:30")),
            ),
        ),
        faults=0,
    ),
)
