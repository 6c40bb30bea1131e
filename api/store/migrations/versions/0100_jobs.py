"""Lay-outs asked for, with their lease, progress, best draft and end."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op
from sqlalchemy.dialects.postgresql import JSONB

revision = "0100"
down_revision = "0002"
branch_labels = None
depends_on = None

DOCUMENT = sa.JSON().with_variant(JSONB(), "postgresql")
INDEXES = {"ix_jobs_state_number": ["state", "number"], "ix_jobs_week_number": ["week", "number"]}


def upgrade() -> None:
    op.create_table(
        "jobs",
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("week", sa.String(), nullable=False),
        sa.Column("seconds", sa.Double(), nullable=False),
        sa.Column("seed", sa.Integer(), nullable=False),
        sa.Column("asked_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("asked_by", sa.String(), nullable=False),
        sa.Column("notes_version", sa.Integer(), nullable=False),
        sa.Column("posted", sa.Integer(), nullable=True),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("worker", sa.String(), nullable=False),
        sa.Column("lease_until", sa.DateTime(timezone=True), nullable=True),
        sa.Column("tries", sa.Integer(), nullable=False),
        sa.Column("stop_wanted", sa.Boolean(), nullable=False),
        sa.Column("spent", sa.Double(), nullable=False),
        sa.Column("worth_g", sa.Integer(), nullable=True),
        sa.Column("bound_g", sa.Integer(), nullable=True),
        sa.Column("whiteboard_g", sa.Integer(), nullable=True),
        sa.Column("plan", sa.Integer(), nullable=True),
        sa.Column("fault", sa.String(), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("asked", DOCUMENT, nullable=False),
        sa.Column("best", DOCUMENT, nullable=True),
        sa.ForeignKeyConstraint(["plan"], ["plans.id"], name=op.f("fk_jobs_plan_plans")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_jobs")),
    )
    for name, columns in INDEXES.items():
        op.create_index(op.f(name), "jobs", columns)


def downgrade() -> None:
    for name in INDEXES:
        op.drop_index(op.f(name), "jobs")
    op.drop_table("jobs")
