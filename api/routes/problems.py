"""From errors to RFC 9457 problems: the one table."""

from __future__ import annotations

from http import HTTPStatus

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from starlette.exceptions import HTTPException

from api.schemas.problem import Fault, Problem
from scheduler.errors import BadInput, CommonrackError, NoSuchPlan

PROBLEM_JSON = "application/problem+json"
TABLE: tuple[tuple[type[CommonrackError], HTTPStatus, str, str], ...] = (
    (NoSuchPlan, HTTPStatus.NOT_FOUND, "no-such-plan", "There is no such plan"),
    (BadInput, HTTPStatus.UNPROCESSABLE_ENTITY, "bad-input", "The request cannot be used"),
    (CommonrackError, HTTPStatus.INTERNAL_SERVER_ERROR, "our-mistake", "Commonrack went wrong"),
)  # the first that fits


def problem_of(request: Request, error: Exception) -> Problem:
    """The problem that an error is to whoever asked."""
    path = request.url.path
    if isinstance(error, HTTPException):
        title = HTTPStatus(error.status_code).phrase
        return _plain(path, HTTPStatus(error.status_code), title, str(error.detail))
    if isinstance(error, RequestValidationError):
        faults = [
            Fault(where=".".join(str(part) for part in each["loc"]), message=each["msg"])
            for each in error.errors()
        ]
        return _known(path, TABLE[1], "; ".join(each.message for each in faults), faults)
    for row in TABLE:
        if isinstance(error, row[0]):
            return _known(path, row, str(error), _faults(error))
    title = "Commonrack went wrong"
    return _plain(
        path, HTTPStatus.INTERNAL_SERVER_ERROR, title, "The error is in the server's log."
    )


def _faults(error: Exception) -> list[Fault]:
    faults = error.faults if isinstance(error, BadInput) else ()
    return [Fault(where=each.file, message=each.message) for each in faults]


def _plain(path: str, status: HTTPStatus, title: str, detail: str) -> Problem:
    return Problem(type="about:blank", title=title, status=status, detail=detail, instance=path)


def _known(
    path: str,
    row: tuple[type[CommonrackError], HTTPStatus, str, str],
    detail: str,
    faults: list[Fault],
) -> Problem:
    _, status, kind, title = row
    return Problem(
        type=f"urn:commonrack:problem:{kind}",
        title=title,
        status=status,
        detail=detail,
        instance=path,
        faults=faults,
    )


def answer_with_problem(request: Request, error: Exception) -> JSONResponse:
    """The error as application/problem+json."""
    problem = problem_of(request, error)
    headers = error.headers if isinstance(error, HTTPException) else None
    body = problem.model_dump(exclude_defaults=True)
    return JSONResponse(body, problem.status, headers, media_type=PROBLEM_JSON)


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
