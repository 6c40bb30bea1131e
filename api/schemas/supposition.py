"""What is supposed of a week, and what it comes to, as JSON."""

from __future__ import annotations

from typing import Annotated

from pydantic import ConfigDict, Field

from api.records.jobs import JobState, SupposedFound
from api.schemas.body import Body, Decimal, Id, Instant, Kilograms, Wanted, WeekText, YesNo
from api.schemas.comparing import CostsBody, NoteChangeBody
from api.schemas.lay_out import MOST_SECONDS
from api.services.jobs import SECONDS
from api.services.suppositions import SupposedWeek
from scheduler.comparing import GrowerChange, by_grower
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.plan import Moved
from scheduler.domain.supposition import Supposition, SuppositionKind
from scheduler.errors import BadInput, InputFault
from scheduler.units import Grams, grams, kg


class SuppositionWanted(Wanted):
    """kind note: with note_id and at least one of field_kg, arrives, latest_start. down: with
    dryer_id, start and end."""

    model_config = ConfigDict(
        json_schema_extra={"examples": [{"week": "2026-W34", "kind": "dryer"}]}
    )

    week: WeekText
    kind: SuppositionKind
    note_id: Id | None = None
    field_kg: Kilograms | None = None
    arrives: Instant | None = None
    latest_start: Instant | None = None
    dryer_id: Id | None = None
    start: Instant | None = None
    end: Instant | None = None
    seconds: Annotated[
        Decimal,
        Field(ge=1, le=MOST_SECONDS, description="for both weeks together"),
    ] = SECONDS
    move_firm_turns: Annotated[
        YesNo, Field(description="firm turns may be moved, in both weeks alike")
    ] = False

    def to_domain(self) -> Supposition:
        """BadInput for a stop without both ends, or one that ends before it starts."""
        span = None
        if self.start is not None and self.end is not None:
            if self.end <= self.start:
                raise BadInput((InputFault("suppose", None, "end", "must be after the start"),))
            span = Span(self.start, self.end)
        return Supposition(
            kind=self.kind,
            note_id=self.note_id or "",
            field_g=None if self.field_kg is None else grams(self.field_kg),
            arrives=self.arrives,
            latest_start=self.latest_start,
            dryer_id=self.dryer_id or "",
            span=span,
        )


class GrowerChangeBody(Body):
    grower_id: str
    before_kg: float
    after_kg: float
    gains: list[str] = Field(description="notes of which more has a place")
    loses: list[str] = Field(description="notes of which less has a place")

    @classmethod
    def from_domain(cls, change: GrowerChange) -> GrowerChangeBody:
        return cls(
            grower_id=change.grower_id,
            before_kg=kg(change.before_g),
            after_kg=kg(change.after_g),
            gains=list(change.gains),
            loses=list(change.loses),
        )


class MovedBody(Body):
    note_id: str
    rule: int
    reason: str

    @classmethod
    def from_domain(cls, moved: Moved) -> MovedBody:
        return cls(note_id=moved.note_id, rule=moved.rule, reason=moved.reason)


class SupposedFoundBody(Body):
    """As it is and as supposed, each looked at as long; field weights by grower and note."""

    posted_kg: float | None = Field(description="prepared weight of the posted plan")
    as_it_is: CostsBody
    supposed: CostsBody
    more_kg: float = Field(description="prepared weight, supposed less as it is")
    as_it_is_bound_kg: float = Field(description="what no plan of the week as it is can beat")
    supposed_bound_kg: float
    same_notes: int
    notes: list[NoteChangeBody]
    growers: list[GrowerChangeBody]
    moved: list[MovedBody] = Field(description="firm notes that could not stay")

    @classmethod
    def from_domain(cls, found: SupposedFound, asked: Asked) -> SupposedFoundBody:
        both, zone = found.compared, asked.kitchen.zone
        return cls(
            posted_kg=None if found.posted_g is None else kg(found.posted_g),
            as_it_is=CostsBody.from_domain(both.before),
            supposed=CostsBody.from_domain(both.after),
            more_kg=kg(Grams(both.after.worth_g - both.before.worth_g)),
            as_it_is_bound_kg=kg(found.without_bound_g),
            supposed_bound_kg=kg(found.with_bound_g),
            same_notes=both.same,
            notes=[NoteChangeBody.from_domain(each, zone) for each in both.changes],
            growers=[GrowerChangeBody.from_domain(each) for each in by_grower(asked, both)],
            moved=[MovedBody.from_domain(each) for each in found.moved],
        )


class SuppositionBody(Body):
    """No plan comes of it: nothing of it can be posted."""

    number: int
    week: str
    kind: SuppositionKind
    state: JobState
    seconds: float
    spent_seconds: float
    cost: int | None = Field(
        description="to have it for this week, in minor units, by the kitchen's prices"
    )
    fault: str
    found: SupposedFoundBody | None

    @classmethod
    def from_domain(cls, supposed: SupposedWeek) -> SuppositionBody:
        job, found = supposed.job, supposed.supposing.found
        return cls(
            number=job.number,
            week=str(job.week),
            kind=supposed.supposing.what.kind,
            state=job.state,
            seconds=job.seconds,
            spent_seconds=job.spent,
            cost=supposed.cost,
            fault=job.fault,
            found=None if found is None else SupposedFoundBody.from_domain(found, supposed.asked),
        )
