"""Twins of rules 7 and 8: loading together; turn-round, wash-down, change-over."""

from __future__ import annotations

from scheduler.domain.asked import Asked
from scheduler.domain.plan import Duty, Plan
from tests.builders import at, minutes, span
from tests.verify.changes import (
    and_duties,
    unloaded,
    washed_down,
    with_card,
    with_limits,
    with_note,
    with_preparation,
    with_run,
    with_station,
)
from tests.verify.twin import Twin


def one_grower_at_t3(asked: Asked, plan: Plan) -> tuple[Asked, Plan]:
    """Mushroom and bean, 55 minutes apart at T3, are of one grower."""
    plan = with_preparation(plan, "N4", wash=span("Tue 08:45", "09:00"))
    return with_note(asked, "N3", grower_id="G3"), plan


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
            with_preparation(p, "N2 B", cut=span("Tue 09:50", "10:15"), last_rack=at("Tue 10:25")),
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
    Twin(
        "a table not changed over between two groups of one grower",
        8,
        lambda a, p: one_grower_at_t3(
            with_card(
                with_station(a, "groups", "sweet", change_over_s=minutes(56)),
                "mushroom",
                group="sweet",
            ),
            p,
        ),
        without=("tables",),
        says="the change-over takes 56 min",
    ),
)


TWINS = (
    *LOADING,
    *BETWEEN_RUNS,
    *CHANGE_OVERS,
)
ALLOWED = (
    Twin(
        "a last rack waits 90 minutes",
        7,
        lambda a, p: (
            a,
            with_preparation(p, "N2 B", cut=span("Tue 09:55", "10:20"), last_rack=at("Tue 10:30")),
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
        "no change-over where the grower stays",
        8,
        lambda a, p: one_grower_at_t3(with_limits(a, change_over_s=minutes(56)), p),
        faults=0,
    ),
    Twin(
        "no change-over where grower and group stay",
        8,
        lambda a, p: one_grower_at_t3(
            with_station(a, "groups", "mild", change_over_s=minutes(56)), p
        ),
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
