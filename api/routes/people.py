"""/api/v1/people: who may open the book."""

from __future__ import annotations

from fastapi import APIRouter

from api.routes.inside import AtDesk
from api.routes.problems import problems
from api.schemas.body import Id
from api.schemas.people import GivenBody, PersonBody, PersonWanted
from api.services import people
from api.services.roles import Act, must

router = APIRouter(prefix="/api/v1/people", tags=["People"])


@router.get("", operation_id="people", summary="People", responses=problems())
def list_people(desk: AtDesk) -> list[PersonBody]:
    with desk.reading() as (book, doing):
        return [PersonBody.from_domain(each) for each in people.people(book, doing)]


@router.post(
    "", operation_id="add_person", summary="Add a person", status_code=201, responses=problems()
)
def add_person(desk: AtDesk, wanted: PersonWanted) -> PersonBody:
    with desk.reading() as (_, doing):
        must(doing, Act.KEEP_PEOPLE)
    new = wanted.new()
    with desk.writing() as (book, doing):
        return PersonBody.from_domain(people.add_person(book, doing, new))


@router.delete(
    "/{login}",
    operation_id="leave",
    summary="She has left",
    status_code=204,
    responses=problems(404, 409),
)
def leave(desk: AtDesk, login: Id) -> None:
    """Nothing she was given holds any longer."""
    with desk.writing() as (book, doing):
        people.leave(book, doing, login)


@router.post(
    "/{login}/invitation",
    operation_id="invite",
    summary="Invite a grower",
    status_code=201,
    responses=problems(404, 409),
)
def invite(desk: AtDesk, login: Id) -> GivenBody:
    """A link with which she reads her own pages without a password; older ones end."""
    with desk.writing() as (book, doing):
        given = people.invite(book, doing, login)
    return GivenBody.from_domain(given, f"/api/v1/invited/{given.secret}")
