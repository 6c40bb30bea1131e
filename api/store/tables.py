"""The tables: a row holds a record of api.records, column by column."""

from __future__ import annotations

from datetime import date, datetime, time
from typing import Any

from sqlalchemy import ForeignKey, Index, MetaData, String, UniqueConstraint
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

from api.records.happened import HappeningKind
from api.records.notes import LotState, NoteState
from api.records.people import Role, TemperatureUnit, TokenKind, WeightUnit
from api.records.plans import PlanState
from api.store.columns import DOCUMENT, IsoWeek, Names, UtcDateTime, Value
from scheduler.domain.clock import Week
from scheduler.domain.harvest import Grower
from scheduler.domain.kitchen import Kitchen
from scheduler.domain.outage import StartedRun
from scheduler.domain.process_card import ProcessCard
from scheduler.domain.turn import TurnKind, TurnState
from scheduler.domain.wish import WishKind


class Table(DeclarativeBase):
    metadata = MetaData(
        naming_convention={
            "ix": "ix_%(table_name)s_%(column_0_N_name)s",
            "uq": "uq_%(table_name)s_%(column_0_N_name)s",
            "ck": "ck_%(table_name)s_%(constraint_name)s",
            "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
            "pk": "pk_%(table_name)s",
        }
    )
    type_annotation_map = {  # noqa: RUF012 SQLAlchemy reads it from the class
        dict[str, Any]: DOCUMENT,
        tuple[str, ...]: Names(),
        datetime: UtcDateTime(),
        Week: IsoWeek(),
    }


# The kitchen, its members, its cards.


class KitchenSettingsRow(Table):
    """Every version of the settings; rows are never changed."""

    __tablename__ = "kitchen_settings"

    number: Mapped[int] = mapped_column(primary_key=True)
    kitchen: Mapped[Kitchen] = mapped_column(Value(Kitchen))
    since: Mapped[datetime]
    by: Mapped[str]


class GrowerRow(Table):
    __tablename__ = "growers"

    id: Mapped[str] = mapped_column(primary_key=True)
    grower: Mapped[Grower] = mapped_column(Value(Grower))
    version: Mapped[int]
    telephone: Mapped[str]


class HelperRow(Table):
    __tablename__ = "helpers"
    __table_args__ = (UniqueConstraint("grower_id", "name"),)

    number: Mapped[int] = mapped_column(primary_key=True)
    grower_id: Mapped[str] = mapped_column(ForeignKey("growers.id"))
    name: Mapped[str]
    since: Mapped[datetime]


class PaperRow(Table):
    __tablename__ = "papers"
    __table_args__ = (UniqueConstraint("grower_id", "helper", "kind"),)

    number: Mapped[int] = mapped_column(primary_key=True)
    grower_id: Mapped[str] = mapped_column(ForeignKey("growers.id"))
    helper: Mapped[str]
    kind: Mapped[str]
    until: Mapped[date | None]
    seen_by: Mapped[str]
    seen_at: Mapped[datetime]


class CardRow(Table):
    __tablename__ = "process_cards"

    id: Mapped[str] = mapped_column(primary_key=True)
    card: Mapped[ProcessCard] = mapped_column(Value(ProcessCard))
    version: Mapped[int]


class ApprovalRow(Table):
    __tablename__ = "approvals"

    number: Mapped[int] = mapped_column(primary_key=True)
    card_id: Mapped[str] = mapped_column(ForeignKey("process_cards.id"), index=True)
    letter: Mapped[str]
    until: Mapped[date | None]
    seen_by: Mapped[str]
    seen_at: Mapped[datetime]


# People and the secrets they show.


class PersonRow(Table):
    __tablename__ = "people"

    id: Mapped[str] = mapped_column(primary_key=True)
    name: Mapped[str]
    role: Mapped[Role] = mapped_column(String)
    grower_id: Mapped[str | None] = mapped_column(ForeignKey("growers.id"))
    password_hash: Mapped[str | None]
    added_at: Mapped[datetime]
    left_at: Mapped[datetime | None]


class OwnSettingsRow(Table):
    __tablename__ = "own_settings"

    person_id: Mapped[str] = mapped_column(ForeignKey("people.id"), primary_key=True)
    language: Mapped[str]
    weight_unit: Mapped[WeightUnit] = mapped_column(String)
    temperature_unit: Mapped[TemperatureUnit] = mapped_column(String)


class TokenRow(Table):
    """Sessions, API tokens, invitations and feed addresses alike: only hashes are kept."""

    __tablename__ = "tokens"

    id: Mapped[str] = mapped_column(primary_key=True)
    kind: Mapped[TokenKind] = mapped_column(String)
    person_id: Mapped[str] = mapped_column(ForeignKey("people.id"), index=True)
    secret_hash: Mapped[str]
    acts: Mapped[tuple[str, ...]]
    subject: Mapped[str]
    label: Mapped[str]
    given_at: Mapped[datetime]
    ends_at: Mapped[datetime | None]
    revoked_at: Mapped[datetime | None]


# Notes, lots, plans, turns.


class NoteRow(Table):
    __tablename__ = "harvest_notes"
    __table_args__ = (Index(None, "week", "called"),)

    id: Mapped[str] = mapped_column(primary_key=True)
    called: Mapped[int] = mapped_column(unique=True)
    week: Mapped[Week]
    state: Mapped[NoteState] = mapped_column(String)
    grower_id: Mapped[str] = mapped_column(ForeignKey("growers.id"), index=True)
    card_id: Mapped[str] = mapped_column(ForeignKey("process_cards.id"))
    field_g: Mapped[int]
    arrives: Mapped[datetime]
    latest_start: Mapped[datetime]
    may_split: Mapped[bool]
    second_pair: Mapped[bool]
    standing: Mapped[bool]
    remark: Mapped[str]
    noted_at: Mapped[datetime]
    noted_by: Mapped[str]
    answer: Mapped[dict[str, Any] | None]
    version: Mapped[int]


class StandingLotRow(Table):
    __tablename__ = "standing_lots"

    number: Mapped[int] = mapped_column(primary_key=True)
    grower_id: Mapped[str] = mapped_column(ForeignKey("growers.id"), index=True)
    card_id: Mapped[str] = mapped_column(ForeignKey("process_cards.id"))
    field_g: Mapped[int]
    weekday: Mapped[int]
    at: Mapped[time]
    may_split: Mapped[bool]
    second_pair: Mapped[bool]
    remark: Mapped[str]
    first: Mapped[Week]
    last: Mapped[Week | None]
    version: Mapped[int]


class LotRow(Table):
    __tablename__ = "lots"

    code: Mapped[str] = mapped_column(primary_key=True)
    note_id: Mapped[str] = mapped_column(ForeignKey("harvest_notes.id"), unique=True)
    grower_id: Mapped[str] = mapped_column(ForeignKey("growers.id"), index=True)
    week: Mapped[Week] = mapped_column(index=True)
    weighed_g: Mapped[int]
    at: Mapped[datetime]
    state: Mapped[LotState] = mapped_column(String)
    bags: Mapped[int | None]
    version: Mapped[int]


class PlanRow(Table):
    """One version of a week's plan; document is a whole plan file. Only its state changes."""

    __tablename__ = "plans"
    __table_args__ = (Index(None, "week", "id"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    week: Mapped[Week]
    kitchen: Mapped[str]
    laid_out_at: Mapped[datetime]
    state: Mapped[PlanState] = mapped_column(String)
    notes_version: Mapped[int] = mapped_column(server_default="0")
    laid_out_from: Mapped[int | None]  # the plan posted at that time
    laid_out_by: Mapped[str] = mapped_column(server_default="")
    document: Mapped[dict[str, Any]]


class WeekRow(Table):
    __tablename__ = "weeks"

    week: Mapped[Week] = mapped_column(primary_key=True)
    notes_version: Mapped[int]
    posted: Mapped[int | None] = mapped_column(ForeignKey("plans.id"))


class TurnRow(Table):
    __tablename__ = "turns"
    __table_args__ = (Index(None, "week", "start"),)

    uid: Mapped[str] = mapped_column(primary_key=True)
    week: Mapped[Week]
    kind: Mapped[TurnKind] = mapped_column(String)
    whose: Mapped[str] = mapped_column(ForeignKey("growers.id"), index=True)
    note_id: Mapped[str] = mapped_column(ForeignKey("harvest_notes.id"), index=True)
    subject: Mapped[str]
    start: Mapped[datetime]
    end: Mapped[datetime]
    state: Mapped[TurnState] = mapped_column(String)
    title: Mapped[str]
    place: Mapped[str]
    facts: Mapped[tuple[str, ...]]
    changed_at: Mapped[datetime]
    sequence: Mapped[int]


# What happened, what was said and done.


class HappeningRow(Table):
    """Rows are never changed."""

    __tablename__ = "happenings"
    __table_args__ = (Index(None, "subject", "number"), Index(None, "week", "number"))

    number: Mapped[int] = mapped_column(primary_key=True)
    kind: Mapped[HappeningKind] = mapped_column(String)
    at: Mapped[datetime]
    by: Mapped[str]
    week: Mapped[Week]
    subject: Mapped[str]
    told: Mapped[dict[str, Any]]
    run: Mapped[StartedRun | None] = mapped_column(Value(StartedRun))


class OutageRow(Table):
    __tablename__ = "outages"

    number: Mapped[int] = mapped_column(primary_key=True)
    station_id: Mapped[str]
    stopped: Mapped[datetime] = mapped_column(index=True)
    back: Mapped[datetime | None]
    cause: Mapped[str]
    by: Mapped[str]
    version: Mapped[int]


class WishRow(Table):
    """Only its undoing changes a row."""

    __tablename__ = "wishes"

    number: Mapped[int] = mapped_column(primary_key=True)
    week: Mapped[Week] = mapped_column(index=True)
    kind: Mapped[WishKind] = mapped_column(String)
    note_id: Mapped[str]
    dryer_id: Mapped[str]
    start: Mapped[datetime | None]
    end: Mapped[datetime | None]
    by: Mapped[str]
    at: Mapped[datetime]
    undone_at: Mapped[datetime | None]
    undone_by: Mapped[str]


class MessageRow(Table):
    __tablename__ = "messages"

    number: Mapped[int] = mapped_column(primary_key=True)
    grower_id: Mapped[str] = mapped_column(ForeignKey("growers.id"), index=True)
    text: Mapped[str]
    plan: Mapped[int] = mapped_column(ForeignKey("plans.id"))
    written_at: Mapped[datetime]
    sent_at: Mapped[datetime | None]
    sent_by: Mapped[str]
    overtaken_by: Mapped[int | None]  # no foreign key: copies are read back in order of number


class DeedRow(Table):
    """The audit trail; rows are never changed."""

    __tablename__ = "deeds"
    __table_args__ = (Index(None, "subject", "number"),)

    number: Mapped[int] = mapped_column(primary_key=True)
    at: Mapped[datetime]
    by: Mapped[str]
    act: Mapped[str]
    subject: Mapped[str]
    told: Mapped[dict[str, Any]]


class AnsweredOnceRow(Table):
    __tablename__ = "answered_once"

    person_id: Mapped[str] = mapped_column(primary_key=True)
    key: Mapped[str] = mapped_column(primary_key=True)
    fingerprint: Mapped[str]
    status: Mapped[int]
    headers: Mapped[dict[str, Any]]
    body: Mapped[dict[str, Any]]
    at: Mapped[datetime] = mapped_column(index=True)


class SecretRow(Table):
    """What every serving process must know alike: the key that signs cookies."""

    __tablename__ = "secrets"

    name: Mapped[str] = mapped_column(primary_key=True)
    value: Mapped[str]
