"""Rows for the bound of ovens: which free jobs cannot both be in time."""

from __future__ import annotations

from scheduler.model.shops.oven_slots import OvenBuild
from scheduler.shops.oven_conflicts import conflicts, in_time


def add_conflicts(build: OvenBuild) -> None:
    """A literal for each job in each oven, true where it is in time in it, and for each pair that
    conflicts there: not both. A job that is in time nowhere is late."""
    model, ovens = build.model, build.ovens
    for index in range(len(ovens.ovens)):
        for number, late in build.late.items():
            here = [
                slot.jobs[number]
                for row in build.rows
                for slot in row
                if slot.gap.oven == index and number in slot.jobs
            ]
            if here:
                literal = model.new_bool_var(f"{number} in time in {index}")
                build.in_time[index, number] = literal
                model.add(literal >= sum(here) - late)
                model.add(literal <= sum(here))
                if in_time(ovens, index, ovens.jobs[number]) is None:
                    model.add(literal == 0)
        for one, other in conflicts(ovens, index):
            if (index, one) in build.in_time and (index, other) in build.in_time:
                both = build.in_time[index, one], build.in_time[index, other]
                model.add_at_most_one(both)
    for number, late in build.late.items():
        own = [lit for (_, job), lit in build.in_time.items() if job == number]
        model.add(sum(own) + late == 1)
