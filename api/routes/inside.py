"""What a route is handed: the kept plans, inside one transaction."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

from fastapi import Depends, Request

from api.services.ports import Plans, Shelf


def _reading(request: Request) -> Iterator[Plans]:
    shelf: Shelf = request.app.state.shelf
    with shelf.reading() as book:
        yield book.plans


Reading = Annotated[Plans, Depends(_reading)]
