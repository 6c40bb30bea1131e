"""The book: kitchen, members, people, notes, lots, turns, what happened, what was told."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op
from sqlalchemy.dialects.postgresql import JSONB

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

DOCUMENT = sa.JSON().with_variant(JSONB(), "postgresql")
TABLES = (
    "answered_once",
    "deeds",
    "growers",
    "happenings",
    "kitchen_settings",
    "outages",
    "process_cards",
    "secrets",
    "approvals",
    "harvest_notes",
    "helpers",
    "messages",
    "papers",
    "people",
    "standing_lots",
    "weeks",
    "lots",
    "tokens",
    "turns",
)  # each after those it refers to


def upgrade() -> None:
    op.create_table(
        "answered_once",
        sa.Column("person_id", sa.String(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("fingerprint", sa.String(), nullable=False),
        sa.Column("status", sa.Integer(), nullable=False),
        sa.Column("headers", DOCUMENT, nullable=False),
        sa.Column("body", DOCUMENT, nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("person_id", "key", name=op.f("pk_answered_once")),
    )
    op.create_index(op.f("ix_answered_once_at"), "answered_once", ["at"], unique=False)
    op.create_table(
        "deeds",
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.Column("act", sa.String(), nullable=False),
        sa.Column("subject", sa.String(), nullable=False),
        sa.Column("told", DOCUMENT, nullable=False),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_deeds")),
    )
    op.create_index(op.f("ix_deeds_subject_number"), "deeds", ["subject", "number"], unique=False)
    op.create_table(
        "growers",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("grower", DOCUMENT, nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_growers")),
    )
    op.create_table(
        "happenings",
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.Column("week", sa.String(), nullable=False),
        sa.Column("subject", sa.String(), nullable=False),
        sa.Column("told", DOCUMENT, nullable=False),
        sa.Column("run", DOCUMENT, nullable=True),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_happenings")),
    )
    op.create_index(
        op.f("ix_happenings_subject_number"), "happenings", ["subject", "number"], unique=False
    )
    op.create_index(
        op.f("ix_happenings_week_number"), "happenings", ["week", "number"], unique=False
    )
    op.create_table(
        "kitchen_settings",
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("kitchen", DOCUMENT, nullable=False),
        sa.Column("since", sa.DateTime(timezone=True), nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_kitchen_settings")),
    )
    op.create_table(
        "outages",
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("station_id", sa.String(), nullable=False),
        sa.Column("stopped", sa.DateTime(timezone=True), nullable=False),
        sa.Column("back", sa.DateTime(timezone=True), nullable=True),
        sa.Column("cause", sa.String(), nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_outages")),
    )
    op.create_index(op.f("ix_outages_stopped"), "outages", ["stopped"], unique=False)
    op.create_table(
        "process_cards",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("card", DOCUMENT, nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_process_cards")),
    )
    op.create_table(
        "secrets",
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("value", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_secrets")),
    )
    op.create_table(
        "approvals",
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("card_id", sa.String(), nullable=False),
        sa.Column("letter", sa.String(), nullable=False),
        sa.Column("until", sa.Date(), nullable=True),
        sa.Column("seen_by", sa.String(), nullable=False),
        sa.Column("seen_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["card_id"], ["process_cards.id"], name=op.f("fk_approvals_card_id_process_cards")
        ),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_approvals")),
    )
    op.create_index(op.f("ix_approvals_card_id"), "approvals", ["card_id"], unique=False)
    op.create_table(
        "harvest_notes",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("called", sa.Integer(), nullable=False),
        sa.Column("week", sa.String(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("grower_id", sa.String(), nullable=False),
        sa.Column("card_id", sa.String(), nullable=False),
        sa.Column("field_g", sa.Integer(), nullable=False),
        sa.Column("arrives", sa.DateTime(timezone=True), nullable=False),
        sa.Column("latest_start", sa.DateTime(timezone=True), nullable=False),
        sa.Column("may_split", sa.Boolean(), nullable=False),
        sa.Column("second_pair", sa.Boolean(), nullable=False),
        sa.Column("standing", sa.Boolean(), nullable=False),
        sa.Column("remark", sa.String(), nullable=False),
        sa.Column("noted_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("noted_by", sa.String(), nullable=False),
        sa.Column("answer", DOCUMENT, nullable=True),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["card_id"], ["process_cards.id"], name=op.f("fk_harvest_notes_card_id_process_cards")
        ),
        sa.ForeignKeyConstraint(
            ["grower_id"], ["growers.id"], name=op.f("fk_harvest_notes_grower_id_growers")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_harvest_notes")),
        sa.UniqueConstraint("called", name=op.f("uq_harvest_notes_called")),
    )
    op.create_index(
        op.f("ix_harvest_notes_grower_id"), "harvest_notes", ["grower_id"], unique=False
    )
    op.create_index(
        op.f("ix_harvest_notes_week_called"), "harvest_notes", ["week", "called"], unique=False
    )
    op.create_table(
        "helpers",
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("grower_id", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("since", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["grower_id"], ["growers.id"], name=op.f("fk_helpers_grower_id_growers")
        ),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_helpers")),
        sa.UniqueConstraint("grower_id", "name", name=op.f("uq_helpers_grower_id_name")),
    )
    op.create_table(
        "messages",
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("grower_id", sa.String(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("plan", sa.Integer(), nullable=False),
        sa.Column("written_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("sent_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("sent_by", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["grower_id"], ["growers.id"], name=op.f("fk_messages_grower_id_growers")
        ),
        sa.ForeignKeyConstraint(["plan"], ["plans.id"], name=op.f("fk_messages_plan_plans")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_messages")),
    )
    op.create_index(op.f("ix_messages_grower_id"), "messages", ["grower_id"], unique=False)
    op.create_table(
        "papers",
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("grower_id", sa.String(), nullable=False),
        sa.Column("helper", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("until", sa.Date(), nullable=True),
        sa.Column("seen_by", sa.String(), nullable=False),
        sa.Column("seen_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["grower_id"], ["growers.id"], name=op.f("fk_papers_grower_id_growers")
        ),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_papers")),
        sa.UniqueConstraint(
            "grower_id", "helper", "kind", name=op.f("uq_papers_grower_id_helper_kind")
        ),
    )
    op.create_table(
        "people",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("role", sa.String(), nullable=False),
        sa.Column("grower_id", sa.String(), nullable=True),
        sa.Column("password_hash", sa.String(), nullable=True),
        sa.Column("added_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("left_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(
            ["grower_id"], ["growers.id"], name=op.f("fk_people_grower_id_growers")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_people")),
    )
    op.create_table(
        "standing_lots",
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("grower_id", sa.String(), nullable=False),
        sa.Column("card_id", sa.String(), nullable=False),
        sa.Column("field_g", sa.Integer(), nullable=False),
        sa.Column("weekday", sa.Integer(), nullable=False),
        sa.Column("at", sa.Time(), nullable=False),
        sa.Column("may_split", sa.Boolean(), nullable=False),
        sa.Column("second_pair", sa.Boolean(), nullable=False),
        sa.Column("remark", sa.String(), nullable=False),
        sa.Column("first", sa.String(), nullable=False),
        sa.Column("last", sa.String(), nullable=True),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["card_id"], ["process_cards.id"], name=op.f("fk_standing_lots_card_id_process_cards")
        ),
        sa.ForeignKeyConstraint(
            ["grower_id"], ["growers.id"], name=op.f("fk_standing_lots_grower_id_growers")
        ),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_standing_lots")),
    )
    op.create_index(
        op.f("ix_standing_lots_grower_id"), "standing_lots", ["grower_id"], unique=False
    )
    op.create_table(
        "weeks",
        sa.Column("week", sa.String(), nullable=False),
        sa.Column("notes_version", sa.Integer(), nullable=False),
        sa.Column("posted", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["posted"], ["plans.id"], name=op.f("fk_weeks_posted_plans")),
        sa.PrimaryKeyConstraint("week", name=op.f("pk_weeks")),
    )
    op.create_table(
        "lots",
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("note_id", sa.String(), nullable=False),
        sa.Column("grower_id", sa.String(), nullable=False),
        sa.Column("week", sa.String(), nullable=False),
        sa.Column("weighed_g", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("bags", sa.Integer(), nullable=True),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["grower_id"], ["growers.id"], name=op.f("fk_lots_grower_id_growers")
        ),
        sa.ForeignKeyConstraint(
            ["note_id"], ["harvest_notes.id"], name=op.f("fk_lots_note_id_harvest_notes")
        ),
        sa.PrimaryKeyConstraint("code", name=op.f("pk_lots")),
        sa.UniqueConstraint("note_id", name=op.f("uq_lots_note_id")),
    )
    op.create_index(op.f("ix_lots_grower_id"), "lots", ["grower_id"], unique=False)
    op.create_index(op.f("ix_lots_week"), "lots", ["week"], unique=False)
    op.create_table(
        "tokens",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("person_id", sa.String(), nullable=False),
        sa.Column("secret_hash", sa.String(), nullable=False),
        sa.Column("acts", DOCUMENT, nullable=False),
        sa.Column("subject", sa.String(), nullable=False),
        sa.Column("label", sa.String(), nullable=False),
        sa.Column("given_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ends_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("revoked_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(
            ["person_id"], ["people.id"], name=op.f("fk_tokens_person_id_people")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_tokens")),
    )
    op.create_index(op.f("ix_tokens_person_id"), "tokens", ["person_id"], unique=False)
    op.create_table(
        "turns",
        sa.Column("uid", sa.String(), nullable=False),
        sa.Column("week", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("whose", sa.String(), nullable=False),
        sa.Column("note_id", sa.String(), nullable=False),
        sa.Column("subject", sa.String(), nullable=False),
        sa.Column("start", sa.DateTime(timezone=True), nullable=False),
        sa.Column("end", sa.DateTime(timezone=True), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("place", sa.String(), nullable=False),
        sa.Column("facts", DOCUMENT, nullable=False),
        sa.Column("changed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("sequence", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["whose"], ["growers.id"], name=op.f("fk_turns_whose_growers")),
        sa.ForeignKeyConstraint(
            ["note_id"], ["harvest_notes.id"], name=op.f("fk_turns_note_id_harvest_notes")
        ),
        sa.PrimaryKeyConstraint("uid", name=op.f("pk_turns")),
    )
    op.create_index(op.f("ix_turns_note_id"), "turns", ["note_id"], unique=False)
    op.create_index(op.f("ix_turns_week_start"), "turns", ["week", "start"], unique=False)
    op.create_index(op.f("ix_turns_whose"), "turns", ["whose"], unique=False)
    op.add_column(
        "plans", sa.Column("notes_version", sa.Integer(), server_default="0", nullable=False)
    )
    op.add_column("plans", sa.Column("laid_out_from", sa.Integer(), nullable=True))
    op.add_column("plans", sa.Column("laid_out_by", sa.String(), server_default="", nullable=False))


def downgrade() -> None:
    for column in ("laid_out_by", "laid_out_from", "notes_version"):
        op.drop_column("plans", column)
    for table in reversed(TABLES):
        op.drop_table(table)
