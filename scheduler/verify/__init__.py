"""The kitchen's rules replayed from kitchen, notes and cards, apart from all that makes plans."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from scheduler.domain.asked import Asked
from scheduler.domain.plan import Plan
from scheduler.domain.rules import FULL, RuleBook
from scheduler.verify import (
    after_dryer,
    climate,
    cold_store,
    crews,
    door,
    dryers,
    duties,
    easier,
    emergency,
    exposure,
    firm,
    grid,
    known,
    legible,
    loading,
    night_end,
    part_runs,
    people,
    power,
    promised,
    proof,
    rack_space,
    splitting,
    staffed,
    steam_loads,
    steamers,
    stream,
    tables,
    turn_round,
)
from scheduler.verify.fault import Fault
from scheduler.verify.reading import Reading

__all__ = ["Fault", "verify"]

_Check = Callable[[Reading], Iterator[Fault]]

_ALWAYS: tuple[_Check, ...] = (
    proof.check,
    known.check,
    known.check_stations,
    grid.check,
    staffed.check,
    night_end.check,
    door.check,
    rack_space.check,
    climate.check,
    loading.check,
    turn_round.check,
    stream.check,
    steam_loads.check,
    dryers.check,
    splitting.check,
    firm.check,
    promised.check,
    promised.check_taken,
    exposure.check,
    emergency.check,
    part_runs.check,
    part_runs.check_cold,
)
_SWITCHED: dict[str, tuple[_Check, ...]] = {
    "tables": (tables.check,),
    "steamers": (steamers.check,),
    "cold_store": (cold_store.check,),
    "hands": (duties.check, crews.check, people.check),
    "power": (power.check,),
    "packing": (after_dryer.check, after_dryer.check_benches),
}  # waits and wash_downs are parts of checks and read there
_EASIER: tuple[_Check, ...] = (
    proof.check,
    known.check,
    grid.check,
    staffed.check,
    night_end.check_release,
    door.check_ready,
    easier.check_racks,
    climate.check,
    turn_round.check,
    easier.check_parts,
    dryers.check,
    exposure.check,
    emergency.check,
    part_runs.check,
    part_runs.check_cold,
)


def verify(asked: Asked, plan: Plan, rules: RuleBook = FULL) -> tuple[Fault, ...]:
    """Everything that a plan does against those rules; empty where it holds.

    Total: unknown names and missing parts are faults, never errors. A plan whose times cannot be
    read (not in UTC, far from the week) is told so and not read further. Source: DEVELOPERS.md,
    "How we read the rules".
    """
    illegible = tuple(legible.check(asked, plan))
    if illegible:
        return illegible
    reading = Reading.of(asked, plan, rules=rules)
    faults = (fault for check in _in_force(rules) for fault in check(reading))
    return tuple(sorted(faults, key=lambda fault: fault.rule))


def _in_force(rules: RuleBook) -> Iterator[_Check]:
    if rules.easier:
        yield from _EASIER
        return
    yield from _ALWAYS
    for switch, checks in _SWITCHED.items():
        if getattr(rules, switch):
            yield from checks
