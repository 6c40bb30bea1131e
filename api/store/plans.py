"""The kept plans in a database."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import replace
from datetime import datetime
from threading import Lock
from typing import Any
from weakref import WeakKeyDictionary

from sqlalchemy import Connection, Engine, Row, Select, bindparam, select, update
from sqlalchemy.orm import Session

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
_TABLE: Any = PlanRow.__table__
_NEWEST = (
    select(*(column for column in _TABLE.c if column.name != "document"))
    .order_by(_TABLE.c.id.desc())
    .limit(1)
)
_NEWEST_OF = _NEWEST.where(_TABLE.c.week == bindparam("of", type_=_TABLE.c.week.type))
_NUMBERED = _NEWEST.where(_TABLE.c.id == bindparam("number"))


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
        return self._kept(_NUMBERED, {"number": number})

    def newest_of(self, week: Week) -> KeptPlan | None:
        return self._kept(_NEWEST_OF, {"of": week})

    def newest(self) -> KeptPlan | None:
        return self._kept(_NEWEST, {})

    def _kept(self, wanted: Select[Any], told: dict[str, object]) -> KeptPlan | None:
        """The first of them; documents are large and never change, so they are read once."""
        row = self.session.connection().execute(wanted, told).first()
        if row is None:
            return None
        key = (row.id, row.laid_out_at)
        with _READING:
            read = _READ.setdefault(self.session.get_bind(), OrderedDict())
            before = read.get(key)
        kept = self._read(row) if before is None else replace(before, state=row.state)
        with _READING:
            read[key] = kept
            read.move_to_end(key)
            while len(read) > MOST_READ:
                read.popitem(last=False)
        return kept

    def _read(self, row: Row[Any]) -> KeptPlan:
        document = self.session.scalar(select(PlanRow.document).where(PlanRow.id == row.id))
        return from_row(row, document)

    def numbers_of(self, week: Week) -> tuple[int, ...]:
        numbers = select(PlanRow.id).where(PlanRow.week == week).order_by(PlanRow.id)
        return tuple(self.session.scalars(numbers))

    def weeks(self) -> tuple[Week, ...]:
        return tuple(self.session.scalars(select(PlanRow.week).distinct().order_by(PlanRow.week)))

    def set_state(self, number: int, state: PlanState) -> None:
        self.session.execute(update(PlanRow).where(PlanRow.id == number).values(state=state))
