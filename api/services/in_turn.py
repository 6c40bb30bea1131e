"""First come, first served, among the threads of one process.

SQLite itself would let some writers starve; and answers that are all found at the same time are all
found late, and everything else with them.
"""

from __future__ import annotations

from collections import deque
from threading import Lock


class InTurn:
    """A lock that is handed to whoever has waited longest."""

    def __init__(self) -> None:
        self._guard = Lock()
        self._taken = False
        self._waiting: deque[Lock] = deque()

    def __enter__(self) -> None:
        with self._guard:
            if not self._taken:
                self._taken = True
                return
            gate = Lock()
            gate.acquire()
            self._waiting.append(gate)
        gate.acquire()

    def __exit__(self, *error: object) -> None:
        with self._guard:
            if self._waiting:
                self._waiting.popleft().release()
            else:
                self._taken = False
