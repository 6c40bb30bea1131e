"""What the board supposes of a season, and what it comes to, as JSON."""

from __future__ import annotations

from typing import Annotated

from pydantic import ConfigDict, Field

from api.records.jobs import Job, JobState, SupposingSeason
from api.schemas.body import Body, Text, Wanted, Whole
from api.services.board_suppositions import MOST_TRIES, TRIES
from api.services.bounds import FIRST_YEAR, LAST_YEAR
from scheduler.replay.changes import CHANGES
from scheduler.season.paper import Option
from scheduler.units import Grams, kg

KEYS = ", ".join(each.key for each in CHANGES)


class SeasonSuppositionWanted(Wanted):
    model_config = ConfigDict(
        json_schema_extra={"examples": [{"year": 2026, "changes": ["dryer"]}]}
    )

    year: Annotated[Whole, Field(ge=FIRST_YEAR, lt=LAST_YEAR)]
    changes: Annotated[list[Text], Field(max_length=len(CHANGES), description=f"some of: {KEYS}")]
    tries: Annotated[Whole, Field(ge=1, le=MOST_TRIES, description="of each week")] = TRIES


class OptionBody(Body):
    """price, running, a_kg, sure and binds as they stand in the board paper."""

    name: str
    says: str
    saved_kg: float = Field(description="prepared weight more over all weeks, mean of the tries")
    without_kg: float = Field(description="prepared weight placed without it")
    give_or_take_kg: float = Field(description="standard deviation of the tries; 0 for one alone")
    price: str
    running: str
    a_kg: str
    sure: str
    binds: str

    @classmethod
    def from_domain(cls, option: Option) -> OptionBody:
        return cls(
            name=option.name,
            says=option.says,
            saved_kg=kg(Grams(option.saved_g)),
            without_kg=kg(Grams(option.without_g)),
            give_or_take_kg=option.off_kg,
            price=option.price,
            running=option.running,
            a_kg=option.a_kg,
            sure=option.sure,
            binds=option.binds,
        )


class SeasonSuppositionBody(Body):
    """done: tries of a week, of so many; left_s: what the others may take, null where it is not
    known."""

    number: int
    year: int
    changes: list[str]
    tries: int
    state: JobState
    done: int
    of: int
    left_s: int | None
    fault: str
    verdict: str
    options: list[OptionBody]

    @classmethod
    def from_domain(cls, job: Job, season: SupposingSeason) -> SeasonSuppositionBody:
        return cls(
            number=job.number,
            year=season.first.year,
            changes=list(season.changes),
            tries=season.tries,
            state=job.state,
            done=season.done,
            of=season.of,
            left_s=season.left_s if job.state == "claimed" else None,
            fault=job.fault,
            verdict=season.verdict,
            options=[OptionBody.from_domain(each) for each in season.options],
        )
