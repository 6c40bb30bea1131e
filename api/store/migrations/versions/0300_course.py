"""How worth and bound came nearer each other in a lay-out, step by step."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op
from sqlalchemy.dialects.postgresql import JSONB

revision = "0300"
down_revision = "0200"
branch_labels = None
depends_on = None

DOCUMENT = sa.JSON().with_variant(JSONB(), "postgresql")


def upgrade() -> None:
    column = sa.Column("course", DOCUMENT, nullable=False, server_default="[]")
    op.add_column("jobs", column)


def downgrade() -> None:
    op.drop_column("jobs", "course")
