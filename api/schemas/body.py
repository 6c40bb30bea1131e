"""What all bodies share: frozen, nothing unknown let in, texts, times and weights bounded."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Generic, TypeVar

from pydantic import AfterValidator, AwareDatetime, BaseModel, ConfigDict, Field

from api.services.bounds import (
    CLEAN,
    END,
    FIRST,
    FIRST_YEAR,
    LAST_YEAR,
    MOST_CHARACTERS,
    MOST_KG,
    NAME,
)
from scheduler.domain.clock import Week

Item = TypeVar("Item")
MOST_NUMBER = 2_147_483_647  # what PostgreSQL keeps in an integer


def _iso_week(text: str) -> str:
    year = Week.parse(text).year  # ValueError: 2026 has no week 99
    if not FIRST_YEAR <= year < LAST_YEAR:
        raise ValueError(f"must be of a year from {FIRST_YEAR} to {LAST_YEAR - 1}")
    return text


Text = Annotated[str, Field(max_length=MOST_CHARACTERS, pattern=CLEAN)]
Secret = Annotated[str, Field(pattern=r"^[\x21-\x7e]{1,100}$")]
Id = Annotated[str, Field(pattern=NAME)]
WeekText = Annotated[
    str, Field(pattern=r"^20\d\d-W[0-5]\d$", examples=["2026-W34"]), AfterValidator(_iso_week)
]
Instant = Annotated[
    AwareDatetime,
    Field(
        ge=FIRST,
        lt=END,
        examples=["2026-08-18T08:00:00-04:00"],
        description="with its offset",
    ),
]
Day = Annotated[date, Field(ge=FIRST.date(), lt=END.date(), examples=["2026-08-18"])]
# strict: false is no seed and "yes" is no true, as the description says
Whole = Annotated[int, Field(strict=True)]
Decimal = Annotated[float, Field(strict=True, allow_inf_nan=False)]
YesNo = Annotated[bool, Field(strict=True)]
Kilograms = Annotated[Decimal, Field(ge=0.001, le=MOST_KG, examples=[55])]
Number = Annotated[Whole, Field(ge=1, le=MOST_NUMBER)]


class Body(BaseModel):
    """An answer."""

    model_config = ConfigDict(frozen=True)


class Wanted(BaseModel):
    """A request."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Page(Body, Generic[Item]):
    """Some of many; ask again with after=next for those behind them, until next is null."""

    items: list[Item]
    next: int | str | None = None
