"""What a plan costs its growers as JSON: fees with their lines, by lot and added up by grower."""

from __future__ import annotations

from zoneinfo import ZoneInfo

from pydantic import Field

from api.schemas.answer import AnswerTurnBody, BagsBody, PriceBody, turn_body
from api.schemas.body import Body
from api.services.fees import Fees
from scheduler.answer.bills import GrowerBill, LotBill
from scheduler.units import kg


class LotFeesBody(Body):
    """At the weight that was told; nothing is asked for what waits."""

    note_id: str
    crop: str
    field_kg: float
    waits_kg: float
    turns: list[AnswerTurnBody]
    price: PriceBody
    bags: BagsBody

    @classmethod
    def from_domain(cls, bill: LotBill, zone: ZoneInfo) -> LotFeesBody:
        bags = bill.bags
        return cls(
            note_id=bill.note.id,
            crop=bill.card.name,
            field_kg=kg(bill.note.field_g),
            waits_kg=kg(bill.waits_g),
            turns=[turn_body(turn, zone) for turn in bill.turns],
            price=PriceBody.from_domain(bill.price, bill.currency),
            bags=BagsBody(likely=bags.likely, fewest=bags.fewest, most=bags.most),
        )


class GrowerFeesBody(Body):
    grower_id: str
    name: str
    farm: str
    fees: int = Field(description="of all lots, in minor units of the currency")
    lots: list[LotFeesBody]
    no_place: list[str] = Field(description="notes that wait whole: they cost nothing")
    under_way: list[str] = Field(
        description="notes whose runs had started before: their fees stand with the plan before"
    )

    @classmethod
    def from_domain(cls, bill: GrowerBill, zone: ZoneInfo) -> GrowerFeesBody:
        return cls(
            grower_id=bill.grower.id,
            name=bill.grower.name,
            farm=bill.grower.farm,
            fees=bill.fees,
            lots=[LotFeesBody.from_domain(each, zone) for each in bill.lots],
            no_place=[each.id for each in bill.unplaced],
            under_way=[each.id for each in bill.under_way],
        )


class FeesBody(Body):
    """As planned: what is charged in the end, a person decides."""

    week: str
    plan: int | None = Field(description="null where a grower reads")
    state: str
    currency: str
    growers: list[GrowerFeesBody]

    @classmethod
    def from_domain(cls, fees: Fees) -> FeesBody:
        kitchen = fees.kept.asked.kitchen
        return cls(
            week=str(fees.kept.plan.week),
            plan=None if fees.own else fees.kept.number,
            state=fees.kept.state,
            currency=kitchen.currency,
            growers=[GrowerFeesBody.from_domain(each, kitchen.zone) for each in fees.growers],
        )
