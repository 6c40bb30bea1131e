"""A lay-out may be the mending of a posted plan: both ways that were found, and who moves."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op
from sqlalchemy.dialects.postgresql import JSONB

revision = "0700"
down_revision = "0500"
branch_labels = None
depends_on = None

DOCUMENT = sa.JSON().with_variant(JSONB(), "postgresql")


def upgrade() -> None:
    op.add_column("jobs", sa.Column("mend", DOCUMENT, nullable=True))


def downgrade() -> None:
    op.drop_column("jobs", "mend")
