"""What the two pages without a plan show."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class EmptyPage:
    """No plan has been laid out yet: what to do."""

    command: str = "commonrack demo"


@dataclass(frozen=True, slots=True)
class ProblemPage:
    """What went wrong, in the words of the problem that the API would answer with."""

    title: str
    detail: str
