"""Stands in for the planner: hands back a plan made beforehand and reports progress on the way."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from types import ModuleType

from scheduler.domain.asked import Asked
from scheduler.domain.plan import Plan
from scheduler.domain.rules import FULL, RuleBook
from scheduler.verify import Fault


@dataclass(frozen=True, slots=True)
class Limits:
    seconds: float | None = 15
    work: float | None = None
    seed: int = 1
    workers: int = 2


@dataclass(frozen=True, slots=True)
class Progress:
    seconds: float
    worth_g: int
    bound_g: int
    whiteboard_g: int
    limit_seconds: float | None


@dataclass(frozen=True, slots=True)
class LaidOut:
    plan: Plan
    faults: tuple[Fault, ...]
    first_plan_s: float
    wall_s: float
    rounds: int = 1
    stopped: bool = False


@dataclass
class FakePlanner:
    """Keeps what it was asked, so that a test can look."""

    make: Callable[[Asked], Plan]
    faults: tuple[Fault, ...] = ()
    asked: list[tuple[str, str, Limits]] = field(default_factory=list)

    def lay_out(
        self,
        asked: Asked,
        rules: RuleBook = FULL,
        *,
        limits: Limits,
        watch: Callable[[Progress], object] | None = None,
        on_explain: Callable[[str], object] | None = None,
    ) -> LaidOut:
        self.asked.append((asked.name, rules.name, limits))
        if watch:
            watch(Progress(1.0, 900_000, 1_200_000, 800_000, limits.seconds))
        if on_explain:
            on_explain("Looking for what would place R11 (1 of 2)")
        return LaidOut(self.make(asked), self.faults, 0.4, 1.5)

    def module(self) -> ModuleType:
        """As scheduler.planning looks to those who import it."""
        found = ModuleType("scheduler.planning")
        for name, value in (
            ("lay_out", self.lay_out),
            ("Limits", Limits),
            ("Progress", Progress),
            ("LaidOut", LaidOut),
        ):
            setattr(found, name, value)
        return found
