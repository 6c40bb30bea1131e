"""The error tree: facts about what went wrong, never HTTP statuses.

CommonrackError
├── BadInput            what was handed in cannot be used; carries every fault found
│   └── UnknownScenario no such folder or bundled name
├── NoSuchPlan          the plan asked for is not there
├── StalePlan           a posted plan that no longer fits what is known: it wants laying out anew
└── BrokenPromise       our own code contradicted itself (a bug, told plainly)
"""

from __future__ import annotations

from dataclasses import dataclass


class CommonrackError(Exception):
    """Root of all errors that Commonrack raises on purpose."""


@dataclass(frozen=True, slots=True)
class InputFault:
    """One thing wrong in what was handed in: where it stands and what to do."""

    file: str
    row: int | None
    field: str | None
    message: str

    def __str__(self) -> str:
        row = "" if self.row is None else f", row {self.row}"
        field = "" if self.field is None else f", {self.field}"
        return f"{self.file}{row}{field}: {self.message}"


class BadInput(CommonrackError):
    """Input that cannot be used; nothing of it was kept."""

    def __init__(self, faults: tuple[InputFault, ...]) -> None:
        super().__init__("\n".join(str(fault) for fault in faults))
        self.faults = faults


class UnknownScenario(BadInput):
    """Neither a folder nor a bundled scenario has that name."""


class NoSuchPlan(CommonrackError):
    """The plan asked for is not there."""


class StalePlan(CommonrackError):
    """A plan that no longer fits the kitchen and notes it is read with; the message says why."""


class BrokenPromise(CommonrackError):
    """Our own code contradicted itself; the message says which promise."""
