"""Papers in order, as JSON."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Annotated

from pydantic import ConfigDict, Field

from api.records.house import Approval, KeptPaper
from api.schemas.body import Body, Day, Text, Wanted
from api.schemas.turn import TurnBody
from api.services.coming import Coming
from api.services.papers import GrowersPapers, days_left

Kind = Annotated[Text, Field(min_length=1, max_length=80)]


class PaperWanted(Wanted):
    """A paper that a person saw; until null: it is missing."""

    model_config = ConfigDict(
        json_schema_extra={"examples": [{"kind": "liability insurance", "until": "2027-08-20"}]}
    )

    kind: Kind
    until: Day | None
    helper: Annotated[str, Field(max_length=80, pattern=r"^[^\x00-\x1f\x7f]*$")] = ""


class PaperBody(Body):
    kind: str
    helper: str
    until: date | None
    days_left: int | None = Field(description="null while it is missing; below nought once ended")
    seen_by: str

    @classmethod
    def from_domain(cls, paper: KeptPaper, today: date) -> PaperBody:
        return cls(
            kind=paper.kind,
            helper=paper.helper,
            until=paper.until,
            days_left=days_left(paper, today),
            seen_by=paper.seen_by,
        )


class TouchedBody(Body):
    """A note that cannot be firm as her papers are (rule 15)."""

    note_id: str
    papers_short: list[str] = Field(description="in English")
    turns: list[TurnBody] = Field(description="those that stand all the same")

    @classmethod
    def from_domain(cls, found: Coming) -> TouchedBody:
        return cls(
            note_id=found.entry.id,
            papers_short=list(found.seen.papers_short),
            turns=[TurnBody.from_domain(each, found.seen.zone) for each in found.turns],
        )


class PaperSeenBody(PaperBody):
    """The paper as written down, and what cannot be firm by it or by her other papers."""

    touched: list[TouchedBody]

    @classmethod
    def of(cls, paper: KeptPaper, touched: Iterable[Coming], today: date) -> PaperSeenBody:
        plain = PaperBody.from_domain(paper, today)
        notes = [TouchedBody.from_domain(each) for each in touched]
        return cls(**plain.model_dump(), touched=notes)


class GrowersPapersBody(Body):
    grower_id: str
    name: str
    farm: str
    helpers: list[str]
    papers: list[PaperBody]
    in_order: bool

    @classmethod
    def from_domain(cls, found: GrowersPapers) -> GrowersPapersBody:
        papers = [PaperBody.from_domain(each, found.today) for each in found.papers]
        return cls(
            grower_id=found.grower.id,
            name=found.grower.name,
            farm=found.grower.farm,
            helpers=[each.name for each in found.helpers],
            papers=papers,
            in_order=found.in_order,
        )


class ApprovalWanted(Wanted):
    """The process authority's letter for a card, as a person saw it."""

    model_config = ConfigDict(
        json_schema_extra={"examples": [{"letter": "letter of 3 March, no. 12", "until": None}]}
    )

    letter: Annotated[Text, Field(min_length=1)]
    until: Day | None = None


class ApprovalBody(Body):
    card_id: str
    letter: str
    until: date | None
    seen_by: str

    @classmethod
    def from_domain(cls, approval: Approval) -> ApprovalBody:
        return cls(
            card_id=approval.card_id,
            letter=approval.letter,
            until=approval.until,
            seen_by=approval.seen_by,
        )
