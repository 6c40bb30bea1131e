"""The night log of a stop as JSON: its lines, and the clock of each part-lot."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated
from zoneinfo import ZoneInfo

from pydantic import ConfigDict, Field

from api.schemas.body import Body, Decimal, Instant, Text, Wanted
from api.services.night_lines import Decided, Wrote
from api.services.night_log import NightLog, Seen

Part = Annotated[Text, Field(max_length=80)]


class WriteWanted(Wanted):
    """One line; now, where no time is given. part: of which racks, "" for none in particular."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [{"part": "R09 B", "seen": "into the cold", "celsius": 4.5, "text": ""}]
        }
    )

    part: Part = ""
    seen: Seen
    text: Text = ""
    celsius: Annotated[Decimal, Field(ge=-50, le=200)] | None = None
    at: Instant | None = None

    def wrote(self) -> Wrote:
        return Wrote(self.part, self.seen, self.text, self.celsius, self.at)


class DecideWanted(Wanted):
    """What the person named has decided on racks over the limit. discards: they come to nothing,
    and the next mend plans no more for them. goes_on: they go on from where they were put, and the
    next mend plans that, by this decision. At most one of the two."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [
                {
                    "part": "R09 B",
                    "decision": "too long in the warm",
                    "decided_by": "Lotte Amberry",
                    "discards": True,
                }
            ]
        }
    )

    part: Annotated[Part, Field(min_length=1)]
    decision: Annotated[Text, Field(min_length=1)]
    decided_by: Annotated[Text, Field(min_length=1, max_length=80)]
    discards: bool = False
    goes_on: bool = False

    def decided(self) -> Decided:
        return Decided(self.decision, self.decided_by, self.discards, self.goes_on)


class LineBody(Body):
    at: datetime
    by: str
    part: str
    seen: str
    text: str
    celsius: float | None
    decided_by: str
    discards: bool
    goes_on: bool


class ClockBody(Body):
    """exposed_minutes: between 5 and 57 C in total (rule 19). over: past four hours; asks: and
    nobody has decided. It says nothing of whether the food is safe."""

    part: str
    exposed_minutes: int
    runs: bool
    ask_by: datetime | None
    over: bool
    asks: bool


class NightLogBody(Body):
    outage: int
    station_id: str
    lines: list[LineBody]
    clocks: list[ClockBody]

    @classmethod
    def from_domain(cls, found: NightLog, zone: ZoneInfo) -> NightLogBody:
        def local(at: datetime | None) -> datetime | None:
            return None if at is None else at.astimezone(zone)

        lines = [
            LineBody(
                at=each.at.astimezone(zone),
                by=each.by,
                part=each.part,
                seen=each.seen,
                text=each.text,
                celsius=each.celsius,
                decided_by=each.decided_by,
                discards=each.discards,
                goes_on=each.goes_on,
            )
            for each in found.entries
        ]
        clocks = [
            ClockBody(
                part=each.part,
                exposed_minutes=each.clock.exposed_s // 60,
                runs=each.clock.runs,
                ask_by=local(each.clock.ask_by),
                over=each.clock.over,
                asks=each.asks,
            )
            for each in found.clocks
        ]
        stop = found.stop
        return cls(outage=stop.number, station_id=stop.station_id, lines=lines, clocks=clocks)
