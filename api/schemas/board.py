"""The board paper as JSON: fractions with numerator and denominator, no names."""

from __future__ import annotations

from api.schemas.body import Body
from api.schemas.week import FractionBody, RescuedBody
from api.services.board import WeekFigures


class WeekFiguresBody(Body):
    week: str
    rescued: RescuedBody
    fractions: list[FractionBody]
    lots_weighed_in: int
    bags_packed: int

    @classmethod
    def from_domain(cls, figures: WeekFigures) -> WeekFiguresBody:
        return cls(
            week=str(figures.week),
            rescued=RescuedBody.from_domain(figures.rescued),
            fractions=[FractionBody.from_domain(each) for each in figures.measures.four],
            lots_weighed_in=figures.lots_weighed_in,
            bags_packed=figures.bags_packed,
        )
