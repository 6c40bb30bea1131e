"""By which number a grower is rung."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0400"
down_revision = "0300"
branch_labels = None
depends_on = None


def upgrade() -> None:
    column = sa.Column("telephone", sa.String, nullable=False, server_default="")
    op.add_column("growers", column)


def downgrade() -> None:
    op.drop_column("growers", "telephone")
