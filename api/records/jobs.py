"""Lay-outs that were asked for: work that outlives the process that does it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from api.records.plans import From
from scheduler.comparing import Compared
from scheduler.domain.clock import Week
from scheduler.domain.mend import TurnMove
from scheduler.domain.plan import Moved
from scheduler.domain.supposition import Supposition
from scheduler.season.paper import Option
from scheduler.units import Grams, Seconds

JobState = Literal["asked", "claimed", "done", "failed", "stopped"]
UNDER_WAY: tuple[JobState, ...] = ("asked", "claimed")


@dataclass(frozen=True, slots=True)
class Step:
    """What was known after so many seconds of looking; weights in prepared grams."""

    spent: float
    worth_g: int
    bound_g: int


@dataclass(frozen=True, slots=True)
class MendFound:
    """One way to mend: the plan that it is kept as, what it keeps, and who moves. Worth in prepared
    grams."""

    plan: int
    kept: tuple[str, ...]
    lost: tuple[str, ...]
    gained: tuple[str, ...]
    worth_g: int
    moves: tuple[TurnMove, ...]


@dataclass(frozen=True, slots=True)
class Mending:
    """What a mend was asked with, and what was found. moved_before: growers that were moved in this
    week already. small: what cannot stay alone is moved; whole: the later week anew, None where it
    is worth no more. why: the proposed one is proposed."""

    moved_before: tuple[str, ...] = ()
    small: MendFound | None = None
    whole: MendFound | None = None
    proposed: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True)
class SupposedFound:
    """The week as it is and as supposed. posted_g: prepared grams of the posted plan, None where
    there is none to compare with. The bounds: what no plan of either week can beat. moved: firm
    notes that could not stay. No plan of it is kept: there is nothing that could be posted."""

    compared: Compared
    posted_g: Grams | None
    without_bound_g: Grams
    with_bound_g: Grams
    moved: tuple[Moved, ...]


@dataclass(frozen=True, slots=True)
class Supposing:
    """What is supposed of the week, and what it comes to. moving: firm turns may be moved."""

    what: Supposition
    moving: bool = False
    found: SupposedFound | None = None


@dataclass(frozen=True, slots=True)
class SupposingSeason:
    """What the board supposes of posted weeks: changes by key, each tried so often. done: weeks of
    all tries; left_s: seconds that the others may take, None before the first. options and verdict:
    once all are done."""

    first: Week
    last: Week
    changes: tuple[str, ...]
    tries: int
    done: int = 0
    of: int = 0
    options: tuple[Option, ...] = ()
    verdict: str = ""
    left_s: Seconds | None = None


@dataclass(frozen=True, slots=True)
class Job:
    """One lay-out of a week; what it is asked about, and its best draft, are kept beside it.

    Weights in prepared grams, None before the first plan. tries counts the workers that were lost
    over it, and the one at work. course: how worth and bound came nearer each other. mend: where it
    mends the posted plan, which way; None where the week is laid out. suppose, season: where
    something is only supposed, of the week or of a season that begins with it.
    """

    week: Week
    seconds: float  # how long to look for better
    seed: int
    asked_at: datetime
    asked_by: str
    notes_version: int
    posted: int | None
    state: JobState = "asked"
    worker: str = ""
    lease_until: datetime | None = None
    tries: int = 0
    stop_wanted: bool = False
    spent: float = 0.0  # seconds of looking so far
    worth_g: int | None = None
    bound_g: int | None = None
    whiteboard_g: int | None = None
    plan: int | None = None  # the kept plan, once it is done or stopped
    fault: str = ""
    ended_at: datetime | None = None
    course: tuple[Step, ...] = ()
    mend: Mending | None = None
    suppose: Supposing | None = None
    season: SupposingSeason | None = None
    number: int = 0

    @property
    def origin(self) -> From:
        return From(self.notes_version, self.posted, self.asked_by)

    @property
    def makes_a_plan(self) -> bool:
        return self.suppose is None and self.season is None

    @property
    def gap(self) -> float | None:
        """(bound - worth) / bound; None before the first plan."""
        if self.worth_g is None or self.bound_g is None:
            return None
        return (self.bound_g - self.worth_g) / self.bound_g if self.bound_g else 0.0
