"""The table of plans, every version kept."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op
from sqlalchemy.dialects.postgresql import JSONB

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "plans",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("week", sa.String(), nullable=False),
        sa.Column("kitchen", sa.String(), nullable=False),
        sa.Column("laid_out_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("document", sa.JSON().with_variant(JSONB(), "postgresql"), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_plans")),
    )
    op.create_index(op.f("ix_plans_week_id"), "plans", ["week", "id"])


def downgrade() -> None:
    op.drop_index(op.f("ix_plans_week_id"), "plans")
    op.drop_table("plans")
