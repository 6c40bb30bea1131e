"""From errors to RFC 9457 problems: the one table."""

from __future__ import annotations

from http import HTTPStatus
from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from starlette.exceptions import HTTPException

from api.schemas.problem import Fault, Problem
from api.services import errors as refused
from scheduler.errors import BadInput, CommonrackError, NoSuchPlan

PROBLEM_JSON = "application/problem+json"
Row = tuple[type[CommonrackError], HTTPStatus, str, str]
BAD_INPUT: Row = (
    BadInput,
    HTTPStatus.UNPROCESSABLE_ENTITY,
    "bad-input",
    "The request cannot be used",
)
TABLE: tuple[Row, ...] = (
    (NoSuchPlan, HTTPStatus.NOT_FOUND, "no-such-plan", "There is no such plan"),
    BAD_INPUT,
    (refused.NotKnown, HTTPStatus.UNAUTHORIZED, "not-known", "Nobody knows who is asking"),
    (refused.NotAllowed, HTTPStatus.FORBIDDEN, "not-allowed", "You may not do that"),
    (refused.NoSuchThing, HTTPStatus.NOT_FOUND, "no-such-thing", "There is no such thing"),
    (refused.NotNow, HTTPStatus.CONFLICT, "not-now", "That cannot be done now"),
    (
        refused.ChangedMeanwhile,
        HTTPStatus.CONFLICT,
        "changed-meanwhile",
        "What the plan answers has changed meanwhile",
    ),
    (
        refused.OldVersion,
        HTTPStatus.PRECONDITION_FAILED,
        "old-version",
        "Somebody changed it meanwhile",
    ),
    (
        refused.VersionMissing,
        HTTPStatus.PRECONDITION_REQUIRED,
        "version-missing",
        "Say which version you saw",
    ),
    (
        refused.KeyUsed,
        HTTPStatus.UNPROCESSABLE_ENTITY,
        "key-used",
        "That key stood on another request",
    ),
    (refused.TooOften, HTTPStatus.TOO_MANY_REQUESTS, "too-often", "Too many tries"),
    (CommonrackError, HTTPStatus.INTERNAL_SERVER_ERROR, "our-mistake", "Commonrack went wrong"),
)  # the first that fits


def problem_of(request: Request, error: Exception) -> Problem:
    """The problem that an error is to whoever asked."""
    path = request.url.path
    if isinstance(error, HTTPException):
        if error.status_code == HTTPStatus.BAD_REQUEST:  # a body that is no text, no form
            return _known(path, BAD_INPUT, str(error.detail))
        title = HTTPStatus(error.status_code).phrase
        return _plain(path, HTTPStatus(error.status_code), title, str(error.detail))
    if isinstance(error, RequestValidationError):
        faults = [
            Fault(where=".".join(str(part) for part in each["loc"]), message=each["msg"])
            for each in error.errors()
        ]
        return _known(path, BAD_INPUT, "; ".join(each.message for each in faults), faults=faults)
    for row in TABLE:
        if isinstance(error, row[0]):
            return _known(path, row, str(error), faults=_faults(error), changes=_changes(error))
    title = "Commonrack went wrong"
    return _plain(
        path, HTTPStatus.INTERNAL_SERVER_ERROR, title, "The error is in the server's log."
    )


def _faults(error: Exception) -> list[Fault]:
    faults = error.faults if isinstance(error, BadInput) else ()
    return [Fault(where=each.field or each.file, message=each.message) for each in faults]


def _changes(error: Exception) -> list[str]:
    return list(error.changes) if isinstance(error, refused.ChangedMeanwhile) else []


def _plain(path: str, status: HTTPStatus, title: str, detail: str) -> Problem:
    return Problem(type="about:blank", title=title, status=status, detail=detail, instance=path)


def _known(path: str, row: Row, detail: str, **more: Any) -> Problem:
    _, status, kind, title = row
    return Problem(
        type=f"urn:commonrack:problem:{kind}",
        title=title,
        status=status,
        detail=detail,
        instance=path,
        **more,
    )


def _headers(error: Exception) -> dict[str, str]:
    if isinstance(error, HTTPException):
        return dict(error.headers or {})
    if isinstance(error, refused.NotKnown):
        return {"WWW-Authenticate": "Bearer"}
    if isinstance(error, refused.TooOften):
        return {"Retry-After": str(error.wait_s)}
    return {}


def answer_with_problem(request: Request, error: Exception) -> JSONResponse:
    """The error as application/problem+json."""
    problem = problem_of(request, error)
    body = problem.model_dump(exclude_defaults=True)
    return JSONResponse(body, problem.status, _headers(error), media_type=PROBLEM_JSON)


ERRORS: tuple[type[Exception], ...] = (
    CommonrackError,
    HTTPException,
    RequestValidationError,
    Exception,
)


def answer_problems(app: FastAPI) -> None:
    """Answer every error of that app with a problem."""
    for error in ERRORS:
        app.add_exception_handler(error, answer_with_problem)


def problems(*statuses: int) -> dict[int | str, dict[str, Any]]:
    """For the description of a route: what may go wrong, besides what always may."""
    always = (401, 403, 422)
    return {status: {"model": Problem} for status in (*always, *statuses)}


def as_problem_json(described: dict[str, Any]) -> None:
    """In the description of the service, tell problems under their own media type, and that what
    can be sent can be too long."""
    for path in described["paths"].values():
        for operation in path.values():
            if "requestBody" in operation:
                too_long = {"description": "Too long", "content": {"application/json": {}}}
                operation["responses"]["413"] = too_long
            for status, response in operation["responses"].items():
                content = response.get("content", {})
                if int(status) >= HTTPStatus.BAD_REQUEST and "application/json" in content:
                    problem = {"schema": {"$ref": "#/components/schemas/Problem"}}
                    response["content"] = {PROBLEM_JSON: problem}
