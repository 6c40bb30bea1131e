"""/api/v1/weeks: plans of a week, posting one, calling the standing lots."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse

from api.routes.headers import Once, answer
from api.routes.inside import AtDesk
from api.routes.notes import body_of
from api.routes.problems import problems
from api.schemas.body import MOST_NUMBER
from api.schemas.call import CallBody, RungWanted
from api.schemas.comparing import ComparedBody
from api.schemas.fees import FeesBody
from api.schemas.note import NoteBody
from api.schemas.posting import PostedBody, PostWanted
from api.schemas.week import WeekBody
from api.services.bounds import FIRST_YEAR, LAST_YEAR
from api.services.calls import call_list, ring
from api.services.comparing import compare
from api.services.fees import fees_of_week
from api.services.once import Told, once
from api.services.plans import plan_for, versions_for, week_for
from api.services.posting import post
from api.services.standing import call_standing
from scheduler.domain.clock import Week
from scheduler.errors import BadInput, InputFault

router = APIRouter(prefix="/api/v1", tags=["Week on the racks"])
IsoWeek = Annotated[str, Path(description="An ISO week", examples=["2026-W34"])]
PlanNumber = Annotated[int, Path(ge=1, le=MOST_NUMBER)]


def week_of(text: str) -> Week:
    """The ISO week written there; BadInput if it is none, or too far off to be meant."""
    try:
        week = Week.parse(text)
    except ValueError:
        week = Week(0, 0)
    if not FIRST_YEAR <= week.year < LAST_YEAR:
        message = f"{text!r} is no ISO week; write it like 2026-W34"
        raise BadInput((InputFault("week", None, None, message),))
    return week


@router.get(
    "/weeks/{iso_week}", operation_id="week", summary="Week on the racks", responses=problems(404)
)
def week(desk: AtDesk, iso_week: IsoWeek) -> WeekBody:
    """The posted plan of that week, else the newest: figures, dryers with runs, waiting list."""
    with desk.reading() as (book, doing):
        return WeekBody.from_domain(week_for(book, doing, week_of(iso_week)))


@router.get(
    "/weeks/{iso_week}/plans",
    operation_id="versions",
    summary="Every version of a week's plan",
    responses=problems(),
)
def versions(desk: AtDesk, iso_week: IsoWeek) -> list[int]:
    """Their numbers, in order of laying out."""
    with desk.reading() as (book, doing):
        return list(versions_for(book, doing, week_of(iso_week)))


@router.get(
    "/weeks/{iso_week}/fees",
    operation_id="fees",
    summary="Turns and fees",
    responses=problems(404),
)
def fees(desk: AtDesk, iso_week: IsoWeek) -> FeesBody:
    """What the plan that stands costs, with its lines; a grower reads her own of a posted one."""
    with desk.reading() as (book, doing):
        return FeesBody.from_domain(fees_of_week(book, doing, week_of(iso_week)))


@router.get(
    "/weeks/{iso_week}/calls",
    operation_id="calls",
    summary="Call list",
    responses=problems(409),
)
def calls(desk: AtDesk, iso_week: IsoWeek) -> list[CallBody]:
    """Whom to ring for what; those nobody has rung yet first."""
    with desk.reading() as (book, doing):
        found = call_list(book, doing, week_of(iso_week))
        return [CallBody.from_domain(each) for each in found]


@router.post(
    "/weeks/{iso_week}/calls",
    operation_id="rung",
    summary="Rung",
    response_model=CallBody,
    responses=problems(404, 409),
)
def rung(desk: AtDesk, iso_week: IsoWeek, wanted: RungWanted, request: Once) -> JSONResponse:
    """She was rung about those reasons, now; with `back`, she was not after all."""
    with desk.writing() as (book, doing):

        def do() -> Told:
            week, back = week_of(iso_week), wanted.back
            done = ring(book, doing, week, wanted.grower_id, about=wanted.about, back=back)
            return Told(200, CallBody.from_domain(done).model_dump(mode="json"))

        return answer(once(book, doing, request, do))


@router.get("/plans/{number}", operation_id="plan", summary="One version", responses=problems(404))
def plan(desk: AtDesk, number: PlanNumber) -> WeekBody:
    with desk.reading() as (book, doing):
        return WeekBody.from_domain(plan_for(book, doing, number))


@router.get(
    "/plans/{number}/beside/{other}",
    operation_id="compare",
    summary="Two versions side by side",
    responses=problems(404, 409),
)
def compare_plans(desk: AtDesk, number: PlanNumber, other: PlanNumber) -> ComparedBody:
    """Who moves from when to when, who gains or loses a place, and what it costs, from the other
    one to this one."""
    with desk.reading() as (book, doing):
        return ComparedBody.from_domain(compare(book, doing, other, after=number))


@router.post(
    "/weeks/{iso_week}/post",
    operation_id="post",
    summary="Post",
    response_model=PostedBody,
    responses=problems(404, 409),
)
def post_plan(desk: AtDesk, iso_week: IsoWeek, wanted: PostWanted, request: Once) -> JSONResponse:
    """Make a plan firm and tell everyone.

    Refused, with what changed, where it was laid out from other notes, or beside another posted
    plan, than there are by now, and where it would move a firm turn that could be kept or pass a
    cap that the members voted (unless that is asked for); then nothing is changed.
    """
    with desk.writing() as (book, doing):

        def do() -> Told:
            week = week_of(iso_week)
            posted = post(book, doing, wanted.plan, week=week, purpose=wanted.purpose())
            return Told(200, PostedBody.from_domain(posted).model_dump(mode="json"))

        return answer(once(book, doing, request, do))


@router.post(
    "/weeks/{iso_week}/standing-lots",
    operation_id="call_standing",
    summary="Note the week's standing lots",
    responses=problems(409),
)
def note_standing(desk: AtDesk, iso_week: IsoWeek) -> list[NoteBody]:
    """Those that are not noted yet; asked again, there are none left."""
    with desk.writing() as (book, doing):
        found = call_standing(book, doing, week_of(iso_week))
        return [body_of(book, doing, each) for each in found]
