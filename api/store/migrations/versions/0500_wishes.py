"""What the manager pins, forbids and leaves free by hand."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0500"
down_revision = "0400"
branch_labels = None
depends_on = None


def upgrade() -> None:
    instant = sa.DateTime(timezone=True)
    op.create_table(
        "wishes",
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("week", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("note_id", sa.String(), nullable=False),
        sa.Column("dryer_id", sa.String(), nullable=False),
        sa.Column("start", instant, nullable=True),
        sa.Column("end", instant, nullable=True),
        sa.Column("by", sa.String(), nullable=False),
        sa.Column("at", instant, nullable=False),
        sa.Column("undone_at", instant, nullable=True),
        sa.Column("undone_by", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_wishes")),
    )
    op.create_index(op.f("ix_wishes_week"), "wishes", ["week"], unique=False)


def downgrade() -> None:
    op.drop_index(op.f("ix_wishes_week"), table_name="wishes")
    op.drop_table("wishes")
