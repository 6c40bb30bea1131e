"""The environment to settings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from platformdirs import user_data_path

DATABASE_URL = "COMMONRACK_DATABASE_URL"


@dataclass(frozen=True, slots=True)
class Settings:
    """database_url: where plans are kept; an SQLite file unless the environment says otherwise."""

    database_url: str

    @classmethod
    def of(cls, environment: Mapping[str, str]) -> Settings:
        """COMMONRACK_DATABASE_URL, or commonrack.sqlite in the user's data folder."""
        return cls(environment.get(DATABASE_URL) or f"sqlite:///{default_file()}")


def default_file() -> Path:
    """Where plans are kept on this machine for this user."""
    return user_data_path("commonrack", appauthor=False) / "commonrack.sqlite"
