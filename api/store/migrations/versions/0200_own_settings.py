"""How each person reads the pages: language and units."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0200"
down_revision = "0101"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "own_settings",
        sa.Column("person_id", sa.String(), nullable=False),
        sa.Column("language", sa.String(), nullable=False),
        sa.Column("weight_unit", sa.String(), nullable=False),
        sa.Column("temperature_unit", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["person_id"], ["people.id"], name=op.f("fk_own_settings_person_id_people")
        ),
        sa.PrimaryKeyConstraint("person_id", name=op.f("pk_own_settings")),
    )


def downgrade() -> None:
    op.drop_table("own_settings")
