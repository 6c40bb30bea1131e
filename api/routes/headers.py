"""Headers that requests and answers share: versions, idempotency keys, pages of a list."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import Annotated, TypeVar

from fastapi import Depends, Header, Query, Request
from fastapi.responses import JSONResponse

from api.schemas.body import MOST_NUMBER, Body, Page
from api.services.errors import OldVersion, VersionMissing
from api.services.once import Repeatable, Told

Record = TypeVar("Record")
Item = TypeVar("Item")
_VERSION = re.compile(r'(?:W/)?"(\d{1,9})"')


def etag(version: int) -> dict[str, str]:
    return {"ETag": f'"{version}"'}


async def _seen_version(
    if_match: Annotated[
        str | None, Header(description="The ETag of what you saw.", examples=['"1"'])
    ] = None,
) -> int:
    if if_match is None:
        raise VersionMissing("send If-Match with the ETag of what you saw")
    found = _VERSION.fullmatch(if_match.strip())
    if found is None:
        raise OldVersion("that ETag is none of ours")
    return int(found[1])


SeenVersion = Annotated[int, Depends(_seen_version)]


async def _once(
    request: Request,
    idempotency_key: Annotated[
        str | None,
        Header(
            description="The same key answers the same request again instead of doing it twice.",
            min_length=1,
            max_length=200,
            pattern=r"^[\x21-\x7e]+$",
            examples=["6f1c0f0e"],
        ),
    ] = None,
) -> Repeatable:
    body = (await request.body()).decode(errors="replace")
    return Repeatable(idempotency_key, f"{request.method} {request.url.path} {body}")


Once = Annotated[Repeatable, Depends(_once)]


def created(body: Body, where: str, version: int = 1) -> Told:
    """201 with its address and version."""
    return Told(201, body.model_dump(mode="json"), {"Location": where, **etag(version)})


def changed(body: Body, version: int) -> Told:
    """200 with its new version."""
    return Told(200, body.model_dump(mode="json"), etag(version))


def answer(told: Told) -> JSONResponse:
    return JSONResponse(told.body, told.status, told.headers)


After = Annotated[int | None, Query(ge=0, le=MOST_NUMBER, description="next of the page before")]
Limit = Annotated[int, Query(ge=1, le=200, description="so many at most")]


def page(
    found: Sequence[Record],
    limit: int,
    *,
    place: Callable[[Record], int | str],
    body: Callable[[Record], Item],
) -> Page[Item]:
    """What was found, one more than asked telling that there is more behind."""
    shown = found[:limit]
    more = place(shown[-1]) if len(found) > limit else None
    return Page(items=[body(each) for each in shown], next=more)
