"""Applications for tests, their routes worked out once: FastAPI does that at a first request, and
it takes longer than most tests. All else of a lent application is new."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from typing import Any

from fastapi import FastAPI

from api.services.ports import Shelf

Make = Callable[..., FastAPI]
_idle: defaultdict[tuple[Any, ...], list[FastAPI]] = defaultdict(list)


@contextmanager
def lent(make: Make, shelf: Shelf, clock: Callable[[], datetime], **how: Any) -> Iterator[FastAPI]:
    """make(shelf, clock=clock, **how), nobody else's until the end."""
    new = make(shelf, clock=clock, **how)
    idle = _idle[make, *sorted(how.items())]
    app = idle.pop() if idle else new
    app.state = new.state  # its shelf and its clock, and whom it throttles: nobody yet
    routes = len(app.routes)
    yield app
    assert len(app.routes) == routes, "make an application of your own to add a route to"
    assert not app.dependency_overrides, "make an application of your own to override in"
    idle.append(app)
