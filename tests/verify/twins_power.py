"""Twins of rule 13: the draw of every quarter-hour."""

from __future__ import annotations

from dataclasses import replace

from scheduler.domain.asked import Asked
from scheduler.domain.outage import Happened, Outage, StartedCharge, StartedRun
from scheduler.units import Racks
from tests.builders import at, dryer
from tests.verify.changes import with_kitchen, with_limits, with_station
from tests.verify.twin import Twin


def with_stopped_run(asked: Asked, stopped: str) -> Asked:
    """A run in D3 that has started, beside two dryers at full draw, and D3's stop."""
    held = (StartedCharge("N0", Racks(1)),)
    run = StartedRun("D3", 57.0, at("Mon 00:00"), at("Mon 15:00"), held)
    outages = (Outage("D3", at(stopped), None),)
    asked = with_kitchen(asked, dryers=(*asked.kitchen.dryers, dryer("D3")))
    return replace(asked, happened=Happened(runs=(run,), outages=outages))


TWINS = (
    Twin(
        "a run that has started draws beside the plan's until it stops",
        13,
        lambda a, p: (with_stopped_run(a, stopped="Mon 11:00"), p),
        without=("power",),
        says="19.50 kW of 15 kW are drawn, Mon 17 Aug 09:00 to Mon 17 Aug 11:00",
    ),
    Twin(
        "a watt more than the supply, all the while two dryers are at full draw",
        13,
        lambda a, p: (with_limits(a, supply_watts=14_999), p),
        without=("power",),
        says="15.00 kW of 14.999 kW are drawn, Mon 17 Aug 09:15 to Mon 17 Aug 11:00",
    ),
    Twin(
        "steamer and dryer together for one quarter-hour",
        13,
        lambda a, p: (
            with_limits(with_station(a, "steamers", "S1", watts=9376), supply_watts=15_000),
            p,
        ),
        without=("power",),
        says="Tue 18 Aug 10:15 to Tue 18 Aug 10:30",
    ),
)
ALLOWED = (
    Twin(
        "a run that has stopped draws nothing more",
        13,
        lambda a, p: (with_stopped_run(a, stopped="Mon 08:00"), p),
        faults=0,
    ),
    Twin(
        "mean draw exactly the supply",
        13,
        lambda a, p: (with_station(a, "steamers", "S1", watts=9375), p),
        faults=0,
    ),
)
