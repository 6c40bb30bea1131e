"""/api/v1/lay-outs: asking for a plan, watching it grow, stopping with the best so far."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path, Query
from fastapi.responses import JSONResponse

from api.routes.headers import After, Limit, Once, answer, page
from api.routes.inside import AtDesk
from api.routes.problems import problems
from api.schemas.body import MOST_NUMBER, Page, WeekText
from api.schemas.lay_out import LayOutBody, LayOutWanted
from api.services import jobs
from api.services.once import Told, once
from scheduler.domain.clock import Week

router = APIRouter(prefix="/api/v1/lay-outs", tags=["Lay-outs"])
JobNumber = Annotated[int, Path(ge=1, le=MOST_NUMBER)]


@router.get("", operation_id="lay_outs", summary="Lay-outs", responses=problems())
def list_lay_outs(
    desk: AtDesk,
    week: Annotated[WeekText | None, Query(description="of that ISO week")] = None,
    after: After = None,
    limit: Limit = 50,
) -> Page[LayOutBody]:
    """In order of asking."""
    with desk.reading() as (book, doing):
        iso = Week.parse(week) if week else None
        found = jobs.jobs(book, doing, week=iso, after=after, limit=limit + 1)
    return page(found, limit, place=lambda job: job.number, body=LayOutBody.from_domain)


@router.post(
    "",
    operation_id="lay_out",
    summary="Lay out",
    status_code=202,
    response_model=LayOutBody,
    responses=problems(409),
)
def lay_out(desk: AtDesk, wanted: LayOutWanted, request: Once) -> JSONResponse:
    """Asked for once this is answered, whatever happens then: a worker does it."""
    with desk.writing() as (book, doing):

        def ask() -> Told:
            week = Week.parse(wanted.week)
            job = jobs.ask(
                book,
                doing,
                week,
                seconds=wanted.seconds,
                seed=wanted.seed,
                moving=wanted.move_firm_turns,
            )
            body = LayOutBody.from_domain(job).model_dump(mode="json")
            return Told(202, body, {"Location": f"/api/v1/lay-outs/{job.number}"})

        return answer(once(book, doing, request, ask))


@router.get(
    "/{number}", operation_id="one_lay_out", summary="How far it is", responses=problems(404)
)
def one_lay_out(desk: AtDesk, number: JobNumber) -> LayOutBody:
    with desk.reading() as (book, doing):
        return LayOutBody.from_domain(jobs.job_numbered(book, doing, number))


@router.post(
    "/{number}/stop",
    operation_id="stop_lay_out",
    summary="Stop, keep the best",
    responses=problems(404, 409),
)
def stop_lay_out(desk: AtDesk, number: JobNumber) -> LayOutBody:
    """Asked again, nothing more happens."""
    with desk.writing() as (book, doing):
        return LayOutBody.from_domain(jobs.stop(book, doing, number))
