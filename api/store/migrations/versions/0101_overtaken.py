"""A text to a grower that a later one overtakes before it was sent."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0101"
down_revision = "0100"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("messages", sa.Column("overtaken_by", sa.Integer(), nullable=True))


def downgrade() -> None:
    op.drop_column("messages", "overtaken_by")
