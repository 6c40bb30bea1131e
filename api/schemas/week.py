"""A week's plan as JSON: figures, dryers with their runs, waiting list."""

from __future__ import annotations

from datetime import datetime

from pydantic import Field

from api.records.plans import KeptPlan
from api.schemas.body import Body
from scheduler.domain.asked import Asked
from scheduler.domain.plan import Charge, Moved, Plan, Proof, Run, Unkept, Waiting
from scheduler.domain.rules import TITLES
from scheduler.measures import DryerUse, Fraction, Rescued, measure, rescued
from scheduler.started import all_runs
from scheduler.units import kg


class FractionBody(Body):
    """Numerator and denominator in hours of the unit."""

    name: str
    numerator: float
    denominator: float
    unit: str
    definition: str

    @classmethod
    def from_domain(cls, fraction: Fraction) -> FractionBody:
        return cls(
            name=fraction.name,
            numerator=fraction.numerator,
            denominator=fraction.denominator,
            unit=fraction.unit,
            definition=fraction.definition,
        )


class RescuedBody(Body):
    """What was asked for and what has a place; a note is placed when all of it is."""

    asked_notes: int
    placed_notes: int
    part_placed_notes: int
    asked_field_kg: float
    placed_field_kg: float
    asked_prepared_kg: float
    placed_prepared_kg: float

    @classmethod
    def from_domain(cls, found: Rescued) -> RescuedBody:
        return cls(
            asked_notes=found.asked_notes,
            placed_notes=found.placed_notes,
            part_placed_notes=found.part_placed_notes,
            asked_field_kg=kg(found.asked_field_g),
            placed_field_kg=kg(found.placed_field_g),
            asked_prepared_kg=kg(found.asked_prepared_g),
            placed_prepared_kg=kg(found.placed_prepared_g),
        )


class ProofBody(Body):
    """Prepared weight placed, and the most that any plan could place."""

    worth_kg: float
    bound_kg: float
    gap: float = Field(description="(bound - worth) / bound")
    whiteboard_kg: float

    @classmethod
    def from_domain(cls, proof: Proof) -> ProofBody:
        return cls(
            worth_kg=kg(proof.worth_g),
            bound_kg=kg(proof.bound_g),
            gap=proof.gap,
            whiteboard_kg=kg(proof.whiteboard_g),
        )


class ChargeBody(Body):
    """The racks of one lot in a run; positions count from 1."""

    code: str
    crop: str
    grower: str
    farm: str
    group: str
    racks: int
    first_rack: int
    field_kg: float
    prepared_kg: float

    @classmethod
    def from_domain(cls, asked: Asked, charge: Charge) -> ChargeBody:
        note = asked.note(charge.note_id)
        card, grower = asked.card(note.card_id), asked.grower(note.grower_id)
        return cls(
            code=charge.code,
            crop=card.name,
            grower=grower.name,
            farm=grower.farm,
            group=card.group,
            racks=charge.racks,
            first_rack=charge.first_rack,
            field_kg=kg(charge.field_g),
            prepared_kg=kg(charge.prepared_g),
        )


class RunBody(Body):
    """One dryer cycle: drying from start to end, in cool hold until released."""

    id: str
    set_point_c: float
    start: datetime
    end: datetime
    released: datetime
    charges: list[ChargeBody]

    @classmethod
    def from_domain(cls, asked: Asked, run: Run) -> RunBody:
        zone = asked.kitchen.zone
        return cls(
            id=run.id,
            set_point_c=run.set_point_c,
            start=run.start.astimezone(zone),
            end=run.end.astimezone(zone),
            released=run.released.astimezone(zone),
            charges=[ChargeBody.from_domain(asked, charge) for charge in run.charges],
        )


class DryerBody(Body):
    """One dryer's week."""

    id: str
    name: str
    racks: int
    rack_use: FractionBody
    runs: list[RunBody]

    @classmethod
    def from_domain(cls, asked: Asked, plan: Plan, use: DryerUse) -> DryerBody:
        dryer = asked.kitchen.dryer(use.dryer_id)
        runs = (run for run in all_runs(asked, plan) if run.dryer_id == dryer.id)
        return cls(
            id=dryer.id,
            name=dryer.name,
            racks=dryer.racks,
            rack_use=FractionBody.from_domain(use.rack_use),
            runs=[RunBody.from_domain(asked, run) for run in runs],
        )


class WaitingBody(Body):
    """A note, or part of one, without a place; proved: laid out with the remedy, and it fitted."""

    code: str
    crop: str
    farm: str
    field_kg: float
    rule: int | None
    rule_title: str | None
    reason: str
    remedy: str
    proved: bool

    @classmethod
    def from_domain(cls, asked: Asked, waiting: Waiting) -> WaitingBody:
        note = asked.note(waiting.note_id)
        return cls(
            code=note.id,
            crop=asked.card(note.card_id).name,
            farm=asked.grower(note.grower_id).farm,
            field_kg=kg(waiting.field_g),
            rule=waiting.rule,
            rule_title=TITLES.get(waiting.rule) if waiting.rule else None,
            reason=waiting.reason,
            remedy=waiting.remedy,
            proved=waiting.proved,
        )


class MovedBody(Body):
    """A note whose promised turns could not be kept (rule 18)."""

    code: str
    crop: str
    farm: str
    rule: int = Field(description="number of the rule in the way")
    rule_title: str
    reason: str

    @classmethod
    def from_domain(cls, asked: Asked, moved: Moved) -> MovedBody:
        note = asked.note(moved.note_id)
        return cls(
            code=note.id,
            crop=asked.card(note.card_id).name,
            farm=asked.grower(note.grower_id).farm,
            rule=moved.rule,
            rule_title=TITLES[moved.rule],
            reason=moved.reason,
        )


class UnkeptBody(Body):
    """A wish that the plan does not keep, by its number, and why."""

    wish: int
    rule: int | None = Field(description="number of the rule in the way; null: not known")
    rule_title: str | None
    reason: str

    @classmethod
    def from_domain(cls, unkept: Unkept) -> UnkeptBody:
        title = TITLES[unkept.rule] if unkept.rule else None
        return cls(wish=unkept.wish, rule=unkept.rule, rule_title=title, reason=unkept.reason)


class WeekBody(Body):
    """The newest plan of a week. Instants carry the kitchen's offset."""

    plan: int = Field(description="number of the version")
    week: str
    kitchen: str
    state: str
    rules: str = Field(description="name of the rule book it obeys")
    laid_out_at: datetime
    rescued: RescuedBody
    proof: ProofBody | None
    fractions: list[FractionBody]
    dryers: list[DryerBody]
    waiting: list[WaitingBody]
    moved: list[MovedBody]
    unkept: list[UnkeptBody]

    @classmethod
    def from_domain(cls, kept: KeptPlan) -> WeekBody:
        asked, plan = kept.asked, kept.plan
        measures = measure(asked, plan)
        return cls(
            plan=kept.number,
            week=str(plan.week),
            kitchen=asked.kitchen.name,
            state=kept.state,
            rules=plan.rules,
            laid_out_at=kept.laid_out_at.astimezone(asked.kitchen.zone),
            rescued=RescuedBody.from_domain(rescued(asked, plan)),
            proof=ProofBody.from_domain(plan.proof) if plan.proof else None,
            fractions=[FractionBody.from_domain(each) for each in measures.four],
            dryers=[DryerBody.from_domain(asked, plan, use) for use in measures.dryers],
            waiting=[WaitingBody.from_domain(asked, each) for each in plan.waiting],
            moved=[MovedBody.from_domain(asked, each) for each in plan.moved],
            unkept=[UnkeptBody.from_domain(each) for each in plan.unkept],
        )
