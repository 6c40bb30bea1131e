"""The kept plans in a database."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import select, update
from sqlalchemy.orm import Session

from api.records.plans import NOWHERE, From, KeptPlan, PlanState
from api.store.mapping import from_row, to_row
from api.store.tables import PlanRow
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.plan import Plan


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
        row = self.session.get(PlanRow, number)
        return None if row is None else from_row(row)

    def newest_of(self, week: Week) -> KeptPlan | None:
        newest = select(PlanRow).where(PlanRow.week == week).order_by(PlanRow.id.desc())
        row = self.session.scalars(newest.limit(1)).first()
        return None if row is None else from_row(row)

    def newest(self) -> KeptPlan | None:
        row = self.session.scalars(select(PlanRow).order_by(PlanRow.id.desc()).limit(1)).first()
        return None if row is None else from_row(row)

    def numbers_of(self, week: Week) -> tuple[int, ...]:
        numbers = select(PlanRow.id).where(PlanRow.week == week).order_by(PlanRow.id)
        return tuple(self.session.scalars(numbers))

    def weeks(self) -> tuple[Week, ...]:
        return tuple(self.session.scalars(select(PlanRow.week).distinct().order_by(PlanRow.week)))

    def set_state(self, number: int, state: PlanState) -> None:
        self.session.execute(update(PlanRow).where(PlanRow.id == number).values(state=state))
