"""The environment to settings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, get_args

from platformdirs import user_data_path

from scheduler.errors import BadInput, InputFault

DATABASE_URL = "COMMONRACK_DATABASE_URL"
QUEUE = "COMMONRACK_QUEUE"
QueueName = Literal["own", "procrastinate"]
QUEUES: tuple[QueueName, ...] = get_args(QueueName)


@dataclass(frozen=True, slots=True)
class Settings:
    """database_url: where plans are kept; an SQLite file unless the environment says otherwise.

    queue: what hands lay-outs to workers.
    """

    database_url: str
    queue: QueueName = "own"

    @classmethod
    def of(cls, environment: Mapping[str, str]) -> Settings:
        """COMMONRACK_DATABASE_URL, or commonrack.sqlite in the user's data folder.

        COMMONRACK_QUEUE, or the book's own.
        """
        url = environment.get(DATABASE_URL) or f"sqlite:///{default_file()}"
        return cls(url, _queue(environment.get(QUEUE) or "own"))


def _queue(text: str) -> QueueName:
    for name in QUEUES:
        if text == name:
            return name
    message = f"{text!r} is no queue; there are: {', '.join(QUEUES)}"
    raise BadInput((InputFault(QUEUE, None, None, message),))


def default_file() -> Path:
    """Where plans are kept on this machine for this user."""
    return user_data_path("commonrack", appauthor=False) / "commonrack.sqlite"
