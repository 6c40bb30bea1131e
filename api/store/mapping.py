"""Rows to kept plans and back."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import Row

from api.records.plans import From, KeptPlan, PlanState
from api.store.tables import PlanRow
from scheduler.domain.asked import Asked
from scheduler.domain.plan import Plan
from scheduler.plan_file import file_from_json, plan_to_json


def to_row(
    asked: Asked, plan: Plan, *, laid_out_at: datetime, state: PlanState, origin: From
) -> PlanRow:
    return PlanRow(
        week=plan.week,
        kitchen=asked.kitchen.id,
        laid_out_at=laid_out_at,
        state=state,
        notes_version=origin.notes_version,
        laid_out_from=origin.posted,
        laid_out_by=origin.by,
        document=plan_to_json(plan, asked),
    )


def from_row(row: Row[Any], document: Any) -> KeptPlan:
    """BadInput if the document is no plan file (another hand wrote it)."""
    file = file_from_json(document, f"plan {row.id}")
    origin = From(row.notes_version, row.laid_out_from, row.laid_out_by)
    return KeptPlan(row.id, row.laid_out_at, row.state, file.asked, file.plan, origin)
