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
ADDRESS = "COMMONRACK_ADDRESS"
METRICS_TOKEN = "COMMONRACK_METRICS_TOKEN"
QueueName = Literal["own", "procrastinate"]
QUEUES: tuple[QueueName, ...] = get_args(QueueName)


@dataclass(frozen=True, slots=True)
class Settings:
    """database_url: where plans are kept; an SQLite file unless the environment says otherwise.

    queue: what hands lay-outs to workers. address: where people reach the book, such as
    https://rack.example; over HTTPS, cookies go over HTTPS only. metrics_token: what a program
    shows to read /metrics; without one it is for this machine only.
    """

    database_url: str
    queue: QueueName = "own"
    address: str = ""
    metrics_token: str = ""

    @property
    def https_only(self) -> bool:
        return self.address.startswith("https://")

    @classmethod
    def of(cls, environment: Mapping[str, str]) -> Settings:
        """COMMONRACK_DATABASE_URL, or commonrack.sqlite in the user's data folder.

        COMMONRACK_QUEUE, or the book's own; COMMONRACK_ADDRESS; COMMONRACK_METRICS_TOKEN.
        """
        url = environment.get(DATABASE_URL) or f"sqlite:///{default_file()}"
        return cls(
            database_url=url,
            queue=_queue(environment.get(QUEUE) or "own"),
            address=_address(environment.get(ADDRESS, "")),
            metrics_token=environment.get(METRICS_TOKEN, ""),
        )


def _queue(text: str) -> QueueName:
    for name in QUEUES:
        if text == name:
            return name
    message = f"{text!r} is no queue; there are: {', '.join(QUEUES)}"
    raise BadInput((InputFault(QUEUE, None, None, message),))


def _address(text: str) -> str:
    """Without a slash at its end; a bare host name would leave open how people come to it."""
    if text and not text.startswith(("https://", "http://")):
        message = f"{text!r} must begin with https:// or http://"
        raise BadInput((InputFault(ADDRESS, None, None, message),))
    return text.rstrip("/")


def default_file() -> Path:
    """Where plans are kept on this machine for this user."""
    return user_data_path("commonrack", appauthor=False) / "commonrack.sqlite"
