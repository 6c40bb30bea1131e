"""Twins of rules 5 and 6: racks; one run, one climate."""

from __future__ import annotations

from dataclasses import replace

from scheduler.domain.asked import Asked
from scheduler.domain.plan import Duty, Plan, Run
from scheduler.units import Grams, Racks
from tests.builders import at, span
from tests.verify.changes import (
    and_duties,
    dry_checked,
    with_after,
    with_card,
    with_charge,
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
    return asked, and_duties(
        plan, Duty("Jun", "unload", "D2", "D2 Thu", span("Thu 18:00", "18:30"))
    )


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
        says="N2 B dries at 60.5 °C; its card asks 57 °C within 3 °C",
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


TWINS = (
    *RACKS,
    *CLIMATE,
)
ALLOWED = (
    Twin(
        "a set point at the end of the dryer's range",
        6,
        lambda a, p: (with_station(a, "dryers", "D2", coolest_c=50.0, hottest_c=57.0), p),
        faults=0,
    ),
    Twin(
        "a dryer just as large as its fullest run",
        5,
        lambda a, p: (with_station(a, "dryers", "D1", racks=Racks(19)), p),
        faults=0,
    ),
    Twin(
        "a set point at the end of the tolerance",
        6,
        lambda a, p: (a, with_run(p, "D1 Tue", set_point_c=60.0)),
        faults=0,
    ),
)
