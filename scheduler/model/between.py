"""Between one run of a dryer and the next: wash-downs (rule 8), and being out before it stops."""

from __future__ import annotations

from dataclasses import dataclass

from scheduler.model.parts import Build, Expression, Literal
from scheduler.problem import DryerSpec


@dataclass(frozen=True, slots=True)
class Between:
    """A dryer before a start: unloaded by then, and free from a staffed time on."""

    dryer: DryerSpec
    unloaded: Expression
    free: Expression
    start: Expression  # of the next run
    day: int  # on which it starts; index into problem.days


def add_wash_down(
    build: Build, between: Between, needs: list[tuple[Expression, Expression]]
) -> tuple[Literal, Literal]:
    """Whether a wash-down is needed, by (dirty, next group), and when it is done by one hand.

    It comes after the unload, on that day or a later one, and leaves staffed time before the start
    for cooling and loading.
    """
    model, dryer = build.model, between.dryer
    whether = build.boolean("wash")
    when = build.tick("wash at")
    for dirty, group in needs:
        model.add(whether >= dirty + group - 1)
    model.add(when >= between.unloaded).only_enforce_if(whether)
    model.add(when >= build.problem.now).only_enforce_if(whether)
    before_stops(build, dryer, when + dryer.wash_down, begun=between.unloaded, whether=whether)
    day = build.problem.days[between.day]
    staffed = between.start - day.open + day.before
    washed = _staffed_end(build, between, whether, when)
    model.add(washed + dryer.turn_round - dryer.unload <= staffed).only_enforce_if(whether)
    model.add(between.free + dryer.wash_down <= staffed).only_enforce_if(whether)
    at = build.interval(when, dryer.wash_down, whether, "washing down")
    build.hand_tasks.append((at, 1))
    return whether, when


def _staffed_end(build: Build, between: Between, whether: Literal, when: Literal) -> Literal:
    """Staffed time at the end of a wash-down, which lies within one stretch."""
    model, length = build.model, between.dryer.wash_down
    washed = model.new_int_var(0, 2 * build.problem.horizon, "washed")
    inside = []
    for day in build.problem.days[: between.day + 1]:
        early = isinstance(between.unloaded, int) and between.unloaded + length > day.close
        if early or day.close - day.open < length:
            continue
        literal = build.boolean("washed then")
        model.add_linear_constraint(when, day.open, day.close - length).only_enforce_if(literal)
        model.add(washed == when - day.open + day.before + length).only_enforce_if(literal)
        inside.append(literal)
    model.add(sum(inside) == whether)
    return washed


def before_stops(
    build: Build, dryer: DryerSpec, done: Expression, *, begun: Expression, whether: Literal
) -> None:
    """Rule 11: what has begun on a dryer before it stops is done by then."""
    for stopped, back in dryer.down:
        by_then = build.boolean("by then")
        build.model.add(done <= stopped).only_enforce_if(by_then, whether)
        build.model.add(begun >= back).only_enforce_if(~by_then, whether)
