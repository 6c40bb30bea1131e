"""The day sheet as it is ticked off, as JSON."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated
from zoneinfo import ZoneInfo

from pydantic import ConfigDict, Field

from api.schemas.body import Body, Instant, Text, Wanted, Whole, YesNo
from api.services.day_to_tick import Done, LineToTick
from api.services.ticking import Tick


class TickWanted(Wanted):
    """A line that is nothing but ticked; now, where no time is given. done false: taken back."""

    model_config = ConfigDict(json_schema_extra={"examples": [{"key": "wash R03 W1"}]})

    key: Annotated[Text, Field(min_length=1)]
    load: Annotated[Whole, Field(ge=0, le=10_000, description="which basket of a steam line")] = 0
    at: Instant | None = None
    done: YesNo = True

    def tick(self, now: datetime) -> Tick:
        return Tick(self.key, self.at or now, self.load)


class DoneBody(Body):
    by: str
    at: datetime

    @classmethod
    def from_domain(cls, done: Done | None, zone: ZoneInfo) -> DoneBody | None:
        return None if done is None else cls(by=done.by, at=done.at.astimezone(zone))


class BasketBody(Body):
    number: int
    done: DoneBody | None


class LineBody(Body):
    """A line of the day sheet: key names it. done: by whom and when, null while it is not; held:
    its dry check was made, and somebody must still decide."""

    key: str
    act: str
    at: datetime
    station_id: str
    lots: list[str]
    done: DoneBody | None
    held: bool
    baskets: list[BasketBody]

    @classmethod
    def from_domain(cls, each: LineToTick, zone: ZoneInfo) -> LineBody:
        line = each.line
        return cls(
            key=each.key,
            act=line.act,
            at=line.at,
            station_id=line.station_id,
            lots=[lot.code for lot in line.lots],
            done=DoneBody.from_domain(each.done, zone),
            held=each.is_held,
            baskets=[
                BasketBody(number=load.number, done=DoneBody.from_domain(done, zone))
                for load, done in zip(line.loads, each.loads, strict=True)
            ],
        )
