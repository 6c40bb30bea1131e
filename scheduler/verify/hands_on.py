"""Every piece of hands-on work in a plan, for the rules that hold for all of it alike."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from scheduler.domain.clock import Span
from scheduler.domain.plan import AfterDryer, Charge, Plan, Preparation, Run
from scheduler.domain.rules import RuleBook


@dataclass(frozen=True, slots=True)
class HandsOn:
    """One piece of work; an instant is a span without length."""

    what: str
    span: Span
    run: Run
    charge: Charge | None = None
    on_grid: bool = True
    after_week: bool = False  # may be done on the Monday after

    @property
    def code(self) -> str | None:
        return self.charge.code if self.charge else None

    @property
    def name(self) -> str:
        """What is done to what: "R04 A: washing", "Run on D1: unloading"."""
        return f"{self.code or f'Run on {self.run.dryer_id}'}: {self.what}"


def hands_on(plan: Plan, rules: RuleBook) -> Iterator[HandsOn]:
    """The work that those rules ask for, run by run."""
    for run in plan.runs:
        yield HandsOn("start", _moment(run.start), run)
        if rules.easier:
            continue
        if run.unload:
            yield HandsOn("unloading", run.unload, run)
        if run.wash_down and rules.wash_downs:
            yield HandsOn("wash-down", run.wash_down, run)
        for charge in run.charges:
            if charge.preparation:
                yield from _before(run, charge, done=charge.preparation)
            if charge.after and rules.packing:
                yield from _after(run, charge, done=charge.after)


def _before(run: Run, charge: Charge, *, done: Preparation) -> Iterator[HandsOn]:
    yield HandsOn("washing", done.wash, run, charge)
    yield HandsOn("cutting", done.cut, run, charge)
    for load in done.steam_loads:
        span = Span(load.start, load.chilled)
        yield HandsOn("steaming and chilling", span, run, charge, on_grid=False)
    yield HandsOn("last rack", _moment(done.last_rack), run, charge, on_grid=False)


def _after(run: Run, charge: Charge, *, done: AfterDryer) -> Iterator[HandsOn]:
    yield HandsOn("dry check", done.dry_check, run, charge, after_week=True)
    yield HandsOn("packing", done.packing, run, charge, after_week=True)


def _moment(instant: datetime) -> Span:
    return Span(instant, instant)
