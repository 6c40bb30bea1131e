"""One thing a plan does against the kitchen's rules."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Fault:
    """The rule's number (0: the proof), a sentence by the kitchen's clock, and where it lies."""

    rule: int
    message: str
    run_id: str | None = None
    charge: str | None = None  # the charge's code
