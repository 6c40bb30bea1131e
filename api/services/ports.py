"""What the use cases need from outside."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import datetime
from typing import Any, Protocol, TypeVar

from api.records.happened import Happening, OutageEntry
from api.records.house import (
    Approval,
    CardEntry,
    GrowerEntry,
    Helper,
    KeptPaper,
    KitchenSettings,
)
from api.records.notes import Lot, NoteEntry, StandingLot
from api.records.people import OwnSettings, Person, Token
from api.records.plans import From, KeptPlan, KeptTurn, PlanState, WeekEntry
from api.records.told import AnsweredOnce, Deed, Message
from api.records.wishes import WishEntry
from api.services.job_ports import Jobs
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.plan import Plan

Record = TypeVar("Record")


class Records(Protocol[Record]):
    """One kind of page in the book, in the order of its key."""

    def find(self, *key: object) -> Record | None:
        """The record with that key."""
        ...

    def where(
        self, *, after: object = None, limit: int | None = None, **equals: Any
    ) -> tuple[Record, ...]:
        """Those whose fields equal what is named (one of them, where a tuple is named), in order.

        after: only those behind that place in the order; limit: so many at most.
        """
        ...

    def last(self, **equals: Any) -> Record | None:
        """The last of those that where() would find."""
        ...

    def add(self, record: Record) -> Record:
        """Keep a new one; as it is kept, with its number if it had none."""
        ...

    def replace(self, record: Record) -> None:
        """Keep the record in the place of the one with the same key."""
        ...


class Plans(Protocol):
    """The kept plans."""

    def add(
        self,
        asked: Asked,
        plan: Plan,
        *,
        laid_out_at: datetime,
        state: PlanState,
        origin: From = ...,
    ) -> int:
        """Keep a new version; its number."""
        ...

    def find(self, number: int) -> KeptPlan | None:
        """The version with that number."""
        ...

    def newest_of(self, week: Week) -> KeptPlan | None:
        """The version of that week laid out last."""
        ...

    def newest(self) -> KeptPlan | None:
        """The version laid out last of all."""
        ...

    def numbers_of(self, week: Week) -> tuple[int, ...]:
        """The versions of a week, in order of laying out."""
        ...

    def weeks(self) -> tuple[Week, ...]:
        """The weeks that have a plan, in order."""
        ...

    def set_state(self, number: int, state: PlanState) -> None:
        """The one thing about a kept plan that changes."""
        ...


class Book(Protocol):
    """The whole book, inside one transaction."""

    @property
    def settings(self) -> Records[KitchenSettings]: ...
    @property
    def growers(self) -> Records[GrowerEntry]: ...
    @property
    def helpers(self) -> Records[Helper]: ...
    @property
    def papers(self) -> Records[KeptPaper]: ...
    @property
    def cards(self) -> Records[CardEntry]: ...
    @property
    def approvals(self) -> Records[Approval]: ...
    @property
    def people(self) -> Records[Person]: ...
    @property
    def own_settings(self) -> Records[OwnSettings]: ...
    @property
    def tokens(self) -> Records[Token]: ...
    @property
    def notes(self) -> Records[NoteEntry]: ...
    @property
    def standing_lots(self) -> Records[StandingLot]: ...
    @property
    def lots(self) -> Records[Lot]: ...
    @property
    def plans(self) -> Plans: ...
    @property
    def weeks(self) -> Records[WeekEntry]: ...
    @property
    def turns(self) -> Records[KeptTurn]: ...
    @property
    def happenings(self) -> Records[Happening]: ...
    @property
    def outages(self) -> Records[OutageEntry]: ...
    @property
    def wishes(self) -> Records[WishEntry]: ...
    @property
    def messages(self) -> Records[Message]: ...
    @property
    def deeds(self) -> Records[Deed]: ...
    @property
    def answered_once(self) -> Records[AnsweredOnce]: ...
    @property
    def jobs(self) -> Jobs: ...

    def secret(self, name: str, make: Callable[[], str]) -> str:
        """What all serving processes know under that name; made the first time it is asked for."""
        ...


class Shelf(Protocol):
    """Where the book stands."""

    def reading(self) -> AbstractContextManager[Book]:
        """Looks, and leaves everything as it was."""
        ...

    def writing(self) -> AbstractContextManager[Book]:
        """Keeps all that was added on the way out, or nothing if an error comes through.

        One writer at a time: what was read inside is still so when it is kept.
        """
        ...

    def rehearsing(self) -> AbstractContextManager[Book]:
        """As in writing, to see what would come of it: nothing is kept."""
        ...

    def working(self) -> AbstractContextManager[Jobs]:
        """The lay-outs alone, kept on the way out; it waits for no other writer if it can help."""
        ...
