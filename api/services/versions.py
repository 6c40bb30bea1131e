"""What is changed must be named with the version that was seen."""

from __future__ import annotations

from api.services.errors import OldVersion


def same_version(seen: int, kept: int, what: str) -> None:
    """OldVersion where it has changed since it was seen."""
    if seen != kept:
        raise OldVersion(f"{what} is at version {kept} by now, not {seen}; look again")
