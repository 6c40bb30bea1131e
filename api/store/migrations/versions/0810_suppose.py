"""A lay-out may only suppose something, of a week or of a season; nothing of it is a plan."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op
from sqlalchemy.dialects.postgresql import JSONB

revision = "0810"
down_revision = "0700"
branch_labels = None
depends_on = None

DOCUMENT = sa.JSON().with_variant(JSONB(), "postgresql")
NEW = ("suppose", "season")


def upgrade() -> None:
    for name in NEW:
        op.add_column("jobs", sa.Column(name, DOCUMENT, nullable=True))


def downgrade() -> None:
    for name in NEW:
        op.drop_column("jobs", name)
