"""Errors on pages, in the words of the API's problems."""

from __future__ import annotations

from fastapi import Request
from fastapi.responses import Response

from api.routes.problems import answer_with_problem, problem_of
from web.pages.paper import print_page
from web.views.plain import ProblemPage


def answer_in_kind(request: Request, error: Exception) -> Response:
    """A problem for who asked the API, a page for everybody else."""
    if request.url.path.startswith("/api/"):
        return answer_with_problem(request, error)
    problem = problem_of(request, error)
    return print_page(ProblemPage(problem.title, problem.detail), problem.status)
