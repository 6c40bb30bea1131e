"""Errors on pages, in the words of the API's problems."""

from __future__ import annotations

from fastapi import Request
from fastapi.responses import Response

from api.routes.problems import answer_with_problem, problem_of
from api.services.errors import NotKnown
from web.pages.door import ask_to_log_in
from web.pages.paper import print_page
from web.views.plain import ProblemPage

NO_PAGES = ("/api/", "/health", "/ready", "/metrics")


def answer_in_kind(request: Request, error: Exception) -> Response:
    """A problem for programs, the door for whom nobody knows, a page for everybody else."""
    if request.url.path.startswith(NO_PAGES):
        return answer_with_problem(request, error)
    if isinstance(error, NotKnown):
        return ask_to_log_in(request)
    problem = problem_of(request, error)
    return print_page(ProblemPage(problem.title, problem.detail), problem.status)
