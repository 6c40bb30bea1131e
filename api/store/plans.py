"""The kept plans in a database."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import replace
from datetime import datetime
from threading import Lock
from weakref import WeakKeyDictionary

from sqlalchemy import Connection, Engine, Select, select, update
from sqlalchemy.orm import Session, defer

from api.records.plans import NOWHERE, From, KeptPlan, PlanState
from api.store.mapping import from_row, to_row
from api.store.tables import PlanRow
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.plan import Plan

MOST_READ = 32  # plans kept in memory, those used last
_READ: WeakKeyDictionary[Engine | Connection, OrderedDict[tuple[int, datetime], KeptPlan]] = (
    WeakKeyDictionary()
)
_READING = Lock()  # threads of the server share what was read


class DatabasePlans:
    """The port Plans over one session; whoever opened the session commits it."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def add(
        self,
        asked: Asked,
        plan: Plan,
        *,
        laid_out_at: datetime,
        state: PlanState,
        origin: From = NOWHERE,
    ) -> int:
        row = to_row(asked, plan, laid_out_at=laid_out_at, state=state, origin=origin)
        self.session.add(row)
        self.session.flush()
        return row.id

    def find(self, number: int) -> KeptPlan | None:
        return self._first(select(PlanRow).where(PlanRow.id == number))

    def newest_of(self, week: Week) -> KeptPlan | None:
        return self._first(select(PlanRow).where(PlanRow.week == week))

    def newest(self) -> KeptPlan | None:
        return self._first(select(PlanRow))

    def _first(self, wanted: Select[PlanRow]) -> KeptPlan | None:
        """The newest of them; documents are large and never change, so they are read once."""
        newest = wanted.order_by(PlanRow.id.desc()).limit(1).options(defer(PlanRow.document))
        row = self.session.scalars(newest.execution_options(populate_existing=True)).first()
        if row is None:
            return None
        key = (row.id, row.laid_out_at)
        with _READING:
            read = _READ.setdefault(self.session.get_bind(), OrderedDict())
            before = read.get(key)
        kept = from_row(row) if before is None else replace(before, state=row.state)
        with _READING:
            read[key] = kept
            read.move_to_end(key)
            while len(read) > MOST_READ:
                read.popitem(last=False)
        return kept

    def numbers_of(self, week: Week) -> tuple[int, ...]:
        numbers = select(PlanRow.id).where(PlanRow.week == week).order_by(PlanRow.id)
        return tuple(self.session.scalars(numbers))

    def weeks(self) -> tuple[Week, ...]:
        return tuple(self.session.scalars(select(PlanRow.week).distinct().order_by(PlanRow.week)))

    def set_state(self, number: int, state: PlanState) -> None:
        self.session.execute(update(PlanRow).where(PlanRow.id == number).values(state=state))
