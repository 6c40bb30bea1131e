"""/api/v1/kitchen, /growers, /process-cards: what the kitchen is, who its members are."""

from __future__ import annotations

from fastapi import APIRouter

from api.routes.inside import AtDesk
from api.routes.problems import problems
from api.schemas.house import CardBody, GrowerBody, KitchenBody
from api.services import house
from api.services.roles import Act, must

router = APIRouter(prefix="/api/v1", tags=["Kitchen"])


@router.get("/kitchen", operation_id="kitchen", summary="Kitchen", responses=problems(409))
def kitchen(desk: AtDesk) -> KitchenBody:
    """The settings in force."""
    with desk.reading() as (book, doing):
        must(doing, Act.READ_HOUSE)
        return KitchenBody.from_domain(house.in_force(book), house.zone_of(book))


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
    "/process-cards", operation_id="cards", summary="Process cards", responses=problems(409)
)
def cards(desk: AtDesk) -> list[CardBody]:
    """Approved: as of today."""
    with desk.reading() as (book, doing):
        must(doing, Act.READ_HOUSE)
        today = house.today_of(book, doing.at)
        return [CardBody.from_domain(each, today) for each in house.cards(book)]
