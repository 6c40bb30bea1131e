"""What a use case may refuse, and why: facts, never HTTP statuses.

CommonrackError
└── Refused
    ├── NotKnown         nobody knows who is asking
    ├── NotAllowed       who is asking may not do that
    ├── NoSuchThing      it is not there, or not to be seen by who is asking
    ├── NotNow           it is there, but its state does not allow that
    ├── VersionMissing   what is to be changed must be named with its version
    ├── OldVersion       somebody else changed it meanwhile
    ├── ChangedMeanwhile what a plan answers is no longer what is asked; carries what changed
    ├── KeyUsed          that idempotency key stood on another request
    └── TooOften         wait before trying again; carries how long
"""

from __future__ import annotations

from scheduler.errors import CommonrackError


class Refused(CommonrackError):
    """Nothing was changed."""


class NotKnown(Refused):
    """Nobody knows who is asking."""


class NotAllowed(Refused):
    """Who is asking may not do that."""


class NoSuchThing(Refused):
    """It is not there, or not to be seen by who is asking: the same answer for both."""


class NotNow(Refused):
    """Its state does not allow that."""


class VersionMissing(Refused):
    """What is to be changed must be named with the version that was seen."""


class OldVersion(Refused):
    """It has changed since the version that was named."""


class ChangedMeanwhile(Refused):
    """What the plan answers is no longer what is asked."""

    def __init__(self, message: str, changes: tuple[str, ...]) -> None:
        super().__init__(message)
        self.changes = changes


class KeyUsed(Refused):
    """That idempotency key stood on another request."""


class TooOften(Refused):
    """Too many tries."""

    def __init__(self, message: str, wait_s: int) -> None:
        super().__init__(message)
        self.wait_s = wait_s
