"""Run by Alembic: migrates the connection handed in, or the database of the environment."""

from __future__ import annotations

import os

from alembic import context
from sqlalchemy import Connection

from api.settings import Settings
from api.store.engine import engine_for
from api.store.tables import Table


def migrate(connection: Connection) -> None:
    context.configure(
        connection=connection,
        target_metadata=Table.metadata,
        render_as_batch=connection.dialect.name == "sqlite",
    )
    with context.begin_transaction():
        context.run_migrations()


handed_in = context.config.attributes.get("connection")
if handed_in is not None:
    migrate(handed_in)
else:
    with engine_for(Settings.of(os.environ).database_url).connect() as own:
        migrate(own)
