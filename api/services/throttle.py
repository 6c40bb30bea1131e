"""How often a log-in may be tried: so many times a minute, counted in this process."""

from __future__ import annotations

from math import ceil
from time import time

from limits import RateLimitItemPerMinute
from limits.storage import MemoryStorage
from limits.strategies import MovingWindowRateLimiter

from api.services.errors import TooOften

TRIES_A_NAME = RateLimitItemPerMinute(5)  # common practice, as is the next
TRIES_AN_ADDRESS = RateLimitItemPerMinute(20)


class Throttle:
    """Counts tries by where they come from, and there by log-in name.

    Not by name alone: anybody could then keep anybody else out.
    """

    def __init__(self) -> None:
        self.window = MovingWindowRateLimiter(MemoryStorage())

    def count(self, name: str, address: str) -> None:
        """One more try; TooOften where it is one too many."""
        for limit, whose in (
            (TRIES_A_NAME, f"name {name} at {address}"),
            (TRIES_AN_ADDRESS, f"at {address}"),
        ):
            if not self.window.hit(limit, whose):
                wait_s = max(
                    1, ceil(self.window.get_window_stats(limit, whose).reset_time - time())
                )
                raise TooOften("too many tries to log in; wait a little", wait_s)
