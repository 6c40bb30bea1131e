"""The plan: runs with their charges, every basket and rack, and who does what when."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from scheduler.domain.clock import Span, Week
from scheduler.domain.part_lot import PartLot
from scheduler.units import Grams, Racks

Work = Literal["cut", "help", "steam", "unload", "wash-down", "dry check"]
GROWER = "grower"  # the crew at a table, or the attendant: the grower's own pair
HANDS = "hands"  # two kitchen hands


@dataclass(frozen=True, slots=True)
class TablePlace:
    """A table in use for a charge and who cuts there: GROWER or HANDS."""

    table_id: str
    crew: str


@dataclass(frozen=True, slots=True)
class SteamLoad:
    """One basket: steaming from start to steamed, handling until end, in the chill tub until
    chilled."""

    steamer_id: str
    tub_id: str
    start: datetime
    steamed: datetime
    end: datetime
    chilled: datetime
    grams: Grams


@dataclass(frozen=True, slots=True)
class Preparation:
    """Everything done to a charge before its racks are in the dryer.

    Cutting runs evenly over its span.
    """

    wash_line_id: str
    wash: Span
    cut: Span
    tables: tuple[TablePlace, ...]
    steam_loads: tuple[SteamLoad, ...]
    last_rack: datetime


@dataclass(frozen=True, slots=True)
class AfterDryer:
    """Dry check and packing turn of a charge."""

    dry_check: Span
    bench_id: str
    packing: Span
    bags: int


@dataclass(frozen=True, slots=True)
class Charge:
    """The racks of one note in one run; first_rack counts from 1, positions are consecutive.

    preparation and after are None under a rule book that leaves them out.
    """

    note_id: str
    letter: str  # "" where the lot is whole, else A, B, C
    racks: Racks
    first_rack: int
    field_g: Grams
    prepared_g: Grams
    preparation: Preparation | None = None
    after: AfterDryer | None = None

    @property
    def code(self) -> str:
        return f"{self.note_id} {self.letter}".strip()


@dataclass(frozen=True, slots=True)
class Run:
    """One dryer cycle. Drying from start to end, cool hold until released, then unloading."""

    id: str
    dryer_id: str
    set_point_c: float
    start: datetime
    end: datetime
    released: datetime  # equal to end where the run ends while the kitchen is staffed
    unload: Span | None  # None under a rule book that leaves unloading out
    wash_down: Span | None  # after this run, where the next one asks for it
    charges: tuple[Charge, ...]

    @property
    def racks(self) -> Racks:
        return Racks(sum(charge.racks for charge in self.charges))


@dataclass(frozen=True, slots=True)
class Duty:
    """One person's (or one grower's pair's) work: who is a hand's name or a grower's id.

    work "help": a kitchen hand at the side of a grower who comes alone, from washing to the end of
    cutting.
    work "cut": a kitchen hand at a further table (the pair's own cutting needs no duty).
    work "steam": attending one steamer. Two duties may follow each other where shifts change.
    subject is a charge code for charge work, a run id for unload and wash-down.
    """

    who: str
    work: Work
    station_id: str
    subject: str
    span: Span


@dataclass(frozen=True, slots=True)
class Waiting:
    """A note, or part of one, without a place: the rule that costs it and the least change that
    would place it."""

    note_id: str
    field_g: Grams
    prepared_g: Grams
    rule: int | None = None
    reason: str = ""
    remedy: str = ""
    proved: bool = False


@dataclass(frozen=True, slots=True)
class Moved:
    """A note whose promised turns could not be kept (rule 18): the rule in the way, and why."""

    note_id: str
    rule: int
    reason: str


@dataclass(frozen=True, slots=True)
class Proof:
    """How good a plan is, in prepared grams: no plan whatever is worth more than the bound."""

    worth_g: Grams
    bound_g: Grams
    whiteboard_g: Grams

    @property
    def gap(self) -> float:
        return 0.0 if self.bound_g == 0 else (self.bound_g - self.worth_g) / self.bound_g


@dataclass(frozen=True, slots=True)
class Plan:
    week: Week
    rules: str  # the rule book's name
    runs: tuple[Run, ...]  # in order of start
    duties: tuple[Duty, ...]
    waiting: tuple[Waiting, ...] = ()
    proof: Proof | None = None
    seed: int | None = None
    work: float | None = None  # the deterministic work limit it was laid out with, if any
    moved: tuple[Moved, ...] = ()  # promised notes that are not where they were
    part_lots: tuple[PartLot, ...] = ()  # what a stopped dryer left part-dry (rule 20)

    def charges(self) -> Iterator[tuple[Run, Charge]]:
        return ((run, charge) for run in self.runs for charge in run.charges)

    @property
    def worth_g(self) -> Grams:
        """Goal A: prepared grams that have a place."""
        return Grams(sum(charge.prepared_g for _, charge in self.charges()))
