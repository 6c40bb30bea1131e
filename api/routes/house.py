"""/api/v1/kitchen, /growers, /process-cards: what the kitchen is, who its members are."""

from __future__ import annotations

from fastapi import APIRouter, Response

from api.records.house import KitchenSettings
from api.routes.headers import SeenVersion, etag
from api.routes.inside import AtDesk
from api.routes.problems import problems
from api.schemas.body import Id
from api.schemas.house import CardBody, GrowerBody, GrowerChange, KitchenBody, KitchenChange
from api.services import changing, house
from api.services.roles import Act, must

router = APIRouter(prefix="/api/v1", tags=["Kitchen"])


@router.get("/kitchen", operation_id="kitchen", summary="Kitchen", responses=problems(409))
def kitchen(desk: AtDesk, response: Response) -> KitchenBody:
    """The settings in force."""
    with desk.reading() as (book, doing):
        must(doing, Act.READ_HOUSE)
        return _kitchen(house.in_force(book), response)


@router.patch(
    "/kitchen",
    operation_id="change_kitchen",
    summary="Change hours, shifts, contacts, closures or caps",
    responses=problems(409, 412, 428),
)
def change_kitchen(
    desk: AtDesk, wanted: KitchenChange, version: SeenVersion, response: Response
) -> KitchenBody:
    """A new version of the settings; the older ones stay in the history."""
    with desk.writing() as (book, doing):
        must(doing, Act.KEEP_HOUSE)
        to = wanted.to(house.in_force(book).kitchen)
        return _kitchen(changing.change_kitchen(book, doing, version=version, to=to), response)


def _kitchen(found: KitchenSettings, response: Response) -> KitchenBody:
    response.headers.update(etag(found.number))
    return KitchenBody.from_domain(found, found.kitchen.zone)


@router.get(
    "/kitchen/history",
    operation_id="kitchen_history",
    summary="Every version of the settings",
    responses=problems(409),
)
def history(desk: AtDesk) -> list[KitchenBody]:
    """In the order in which they came into force."""
    with desk.reading() as (book, doing):
        must(doing, Act.READ_HOUSE)
        zone = house.zone_of(book)
        return [KitchenBody.from_domain(each, zone) for each in book.settings.where()]


@router.get("/growers", operation_id="growers", summary="Growers", responses=problems())
def growers(desk: AtDesk) -> list[GrowerBody]:
    with desk.reading() as (book, doing):
        must(doing, Act.READ_HOUSE)
        return [GrowerBody.from_domain(each) for each in house.growers(book)]


@router.get(
    "/growers/{grower_id}", operation_id="grower", summary="One grower", responses=problems(404)
)
def grower(desk: AtDesk, grower_id: Id, response: Response) -> GrowerBody:
    with desk.reading() as (book, doing):
        found = changing.grower_entry(book, doing, grower_id)
        response.headers.update(etag(found.version))
        return GrowerBody.from_domain(found.grower)


@router.patch(
    "/growers/{grower_id}",
    operation_id="change_grower",
    summary="Change a grower's shares or days",
    responses=problems(404, 409, 412, 428),
)
def change_grower(
    desk: AtDesk, grower_id: Id, wanted: GrowerChange, version: SeenVersion, response: Response
) -> GrowerBody:
    """The audit trail keeps what it was before. Plans laid out before no longer answer it."""
    with desk.writing() as (book, doing):
        must(doing, Act.KEEP_HOUSE)
        to = wanted.to(house.zone_of(book))
        found = changing.change_grower(book, doing, grower_id, version=version, to=to)
        if wanted.telephone is not None:
            found = changing.change_telephone(
                book, doing, grower_id, version=found.version, telephone=wanted.telephone
            )
        response.headers.update(etag(found.version))
        return GrowerBody.from_domain(found.grower)


@router.get(
    "/process-cards", operation_id="cards", summary="Process cards", responses=problems(409)
)
def cards(desk: AtDesk) -> list[CardBody]:
    """Approved: as of today."""
    with desk.reading() as (book, doing):
        must(doing, Act.READ_HOUSE)
        today = house.today_of(book, doing.at)
        return [CardBody.from_domain(each, today) for each in house.cards(book)]
