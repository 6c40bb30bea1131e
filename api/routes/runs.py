"""/api/v1/runs: started, ended, unloaded."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path, Query
from fastapi.responses import JSONResponse

from api.routes.headers import Once, answer, created
from api.routes.inside import AtDesk
from api.routes.problems import problems
from api.schemas.body import MOST_NUMBER, WeekText
from api.schemas.run import CorrectRunWanted, RunBody, StartWanted, WhenWanted
from api.services import corrections, runs
from api.services.house import zone_of
from api.services.once import Told, once
from scheduler.domain.clock import Week

router = APIRouter(prefix="/api/v1/runs", tags=["Runs"])
RunNumber = Annotated[int, Path(ge=1, le=MOST_NUMBER)]


@router.get("", operation_id="runs", summary="Runs on record", responses=problems(409))
def list_runs(
    desk: AtDesk, week: Annotated[WeekText, Query(description="of that ISO week")]
) -> list[RunBody]:
    """In order of start. They are never changed, only added to."""
    with desk.reading() as (book, doing):
        found = runs.runs(book, doing, week=Week.parse(week))
        return [RunBody.from_domain(each, zone_of(book)) for each in found]


@router.post(
    "",
    operation_id="start_run",
    summary="Start",
    status_code=201,
    response_model=RunBody,
    responses=problems(404, 409),
)
def start_run(desk: AtDesk, wanted: StartWanted, request: Once) -> JSONResponse:
    """A run started with lots that were weighed in. It is never moved (rule 18)."""
    with desk.writing() as (book, doing):

        def begin() -> Told:
            kept = runs.start(book, doing, wanted.start(doing.at))
            return created(RunBody.from_domain(kept, zone_of(book)), f"/api/v1/runs/{kept.number}")

        return answer(once(book, doing, request, begin))


@router.get("/{number}", operation_id="run", summary="One run", responses=problems(404, 409))
def one_run(desk: AtDesk, number: RunNumber) -> RunBody:
    with desk.reading() as (book, doing):
        return RunBody.from_domain(runs.run_numbered(book, doing, number), zone_of(book))


@router.post("/{number}/end", operation_id="end_run", summary="End", responses=problems(404, 409))
def end_run(desk: AtDesk, number: RunNumber, wanted: WhenWanted) -> RunBody:
    """Drying has ended, earlier or later than planned."""
    with desk.writing() as (book, doing):
        kept = runs.end(book, doing, number, wanted.at or doing.at)
        return RunBody.from_domain(kept, zone_of(book))


@router.post(
    "/{number}/unload", operation_id="unload_run", summary="Unload", responses=problems(404, 409)
)
def unload_run(desk: AtDesk, number: RunNumber, wanted: WhenWanted) -> RunBody:
    """Its racks are out, after it has ended."""
    with desk.writing() as (book, doing):
        kept = runs.unload(book, doing, number, wanted.at or doing.at)
        return RunBody.from_domain(kept, zone_of(book))


@router.post(
    "/{number}/corrections",
    operation_id="correct_run",
    summary="Correct a run",
    responses=problems(404, 409),
)
def correct_run(desk: AtDesk, number: RunNumber, wanted: CorrectRunWanted) -> RunBody:
    """One more record, with who and why; what was written first stays."""
    with desk.writing() as (book, doing):
        kept = corrections.correct_run(book, doing, number, right=wanted.right(), why=wanted.why)
        return RunBody.from_domain(kept, zone_of(book))
