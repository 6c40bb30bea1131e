"""What a row of each CSV table must hold: every column, named as in the domain, and documented."""

from __future__ import annotations

from datetime import date, datetime
from typing import Annotated, Literal

from pydantic import AfterValidator, BeforeValidator, Field

from scheduler.domain.clock import WeeklyHours
from scheduler.domain.gtin import is_gtin
from scheduler.scenario.faults import Checked
from scheduler.scenario.hours import absences, day, moment, weekly_hours

SOURCE = "where the row comes from; for people, not read by the tool"
Text = Annotated[str, Field(min_length=1)]
Amount = Annotated[int, Field(gt=0)]
Percent = Annotated[float, Field(ge=0, lt=100)]
Moment = Annotated[datetime, BeforeValidator(moment)]
Day = Annotated[date, BeforeValidator(day)]
Hours = Annotated[tuple[WeeklyHours, ...], BeforeValidator(weekly_hours)]
Absences = Annotated[tuple[tuple[datetime, datetime] | date, ...], BeforeValidator(absences)]


def _gtin(text: str) -> str:
    if text and not is_gtin(text):
        raise ValueError("must be 14 digits, the last of which checks the others")
    return text


Gtin = Annotated[str, AfterValidator(_gtin)]


def _paper(text: str) -> date | Literal["missing"]:
    return "missing" if text.lower() == "missing" else day(text)


PaperCell = Annotated[date | Literal["missing"] | None, BeforeValidator(_paper)]


def paper(what: str) -> PaperCell:
    """A paper's column: the last day it holds, "missing", or empty where none is asked for."""
    note = "last day it holds, or the word missing, or empty where this grower needs none"
    column: PaperCell = Field(default=None, description=f"{what}: {note}")
    return column


class CardRow(Checked):
    """process_cards.csv: one crop in one cut."""

    id: Text = Field(description="short name, unique; harvest notes refer to it")
    name: Text = Field(description="the crop as people call it")
    cut: Text = Field(description="how it is cut")
    group: Text = Field(description="id of a group of kitchen.toml; only one group shares a run")
    trim_loss_percent: Percent = Field(description="of field weight, lost in trimming")
    water_in_percent: Percent = Field(description="of prepared weight, before drying")
    water_out_percent: Percent = Field(description="of dried weight, after drying")
    g_per_m2: Amount = Field(description="prepared weight on a square metre of rack")
    set_point_c: float = Field(description="air temperature of the run")
    tolerance_c: float = Field(ge=0, description="how far the run's set point may be from it")
    drying_s: Amount = Field(description="drying time")
    steam_s: int = Field(ge=0, description="steaming time of a load; 0 where nothing is steamed")
    keeping_s: Amount = Field(description="keeping time from arrival, in the cold store")
    pair_g_per_h: Amount = Field(description="field weight that a pair cuts at a table in an hour")
    takes_slicer: bool = Field(description="yes if the slicer can cut it")
    loose_g_per_l: Amount = Field(description="weight of a loose litre in a steam basket")
    waits_outside_cold: bool = Field(description="yes if raw lots need no crate in the cold store")
    rest_s: int = Field(ge=0, description="rest between unloading and packing")
    pack_within_s: Amount = Field(description="longest time from unloading to the end of packing")
    bag_g: Amount = Field(description="net weight of a bag")
    least_racks: Amount = Field(description="smallest charge of a split lot")
    split_from_racks: Amount = Field(description="lots of fewer racks stay whole")
    most_charges: Amount = Field(description="most charges of a lot")
    most_water_activity: float = Field(gt=0, le=1, description="dry check: highest reading, 0 to 1")
    most_moisture_percent: float = Field(gt=0, lt=100, description="dry check: highest, wet basis")
    approved: bool = Field(description="yes if the process authority's letter is at hand")
    approved_until: Day | None = Field(
        default=None, description="last day the letter holds; empty: it has none"
    )
    gtin: Gtin = Field(default="", description="GTIN of a bag, 14 digits, for its GS1 label")
    keeps_days: int = Field(
        default=0, ge=0, le=3650,
        description="days from packing to best before, as the kitchen says; 0: none on the label",
    )  # fmt: skip
    source: Text = Field(description="where the figures come from")


class GrowerRow(Checked):
    """growers.csv: one member; several absences in a cell are parted by semicolons."""

    id: Text = Field(description="short name, unique; harvest notes refer to it")
    name: Text = Field(description="the person or persons")
    farm: Text = Field(description="the farm's name")
    shares: int = Field(ge=0, description="shares held in the cooperative")
    people: int = Field(ge=1, le=2, description="2: a pair comes; 1: a kitchen hand must help")
    cannot: Hours = Field(
        default=(), description="when they can never come, by the week: Sat; Wed 12:00-19:00"
    )
    away: Absences = Field(
        default=(),
        description="single absences: a date, or from/to as 2026-08-20T12:00/2026-08-20T19:00",
    )
    liability_insurance_until: PaperCell = paper("liability insurance")
    food_handler_certificate_until: PaperCell = paper("food handler certificate")
    member_agreement_until: PaperCell = paper("signed member agreement")
    orientation_until: PaperCell = paper("the grower's own orientation")
    orientation_of_the_helper_until: PaperCell = paper("orientation of the helper")
    process_letter_until: PaperCell = paper("letter of the process authority for own recipes")
    grows: str = Field(default="", description="what they grow; for people, not read by the tool")
    source: str = Field(default="", description=SOURCE)


class NoteRow(Checked):
    """harvest_notes.csv: one harvest note, in order of call. Those called check are optional."""

    id: Text = Field(description="short name, unique")
    grower_id: Text = Field(description="id of growers.csv")
    card_id: Text = Field(description="id of process_cards.csv")
    field_g: Amount = Field(description="weight as harvested")
    arrives: Moment = Field(description="when it is at the door, local time")
    latest_start: Moment | None = Field(
        default=None,
        description="latest start of a run with it, local time; empty: arrival + keeping time",
    )
    may_split: bool = Field(default=True, description="no if the grower wants it in one charge")
    second_pair: bool = Field(default=False, description="yes if the grower brings two more people")
    standing: bool = Field(default=False, description="yes for a lot that comes every week")
    remark: str = Field(default="", description="free text, shown with the note")
    prepared_g: int | None = Field(default=None, description="check: prepared weight, to 0.1 kg")
    racks: int | None = Field(default=None, description="check: racks in a dryer that takes it")
    set_point_c: float | None = Field(default=None, description="check: the card's set point")
    drying_s: int | None = Field(default=None, description="check: the card's drying time")
    steam_s: int | None = Field(default=None, description="check: the card's steaming time a load")
    dried_g: int | None = Field(default=None, description="check: dried weight, to 0.01 kg")
    source: str = Field(default="", description=SOURCE)


class CalledRow(NoteRow):
    """A row of many notes handed in at once: the book gives the names, so id may be missing."""

    id: str = Field(default="", description="not read: the book gives the name")


class HappenedRow(Checked):
    """happened.csv: what is on record. Rows "run" with the same dryer and start are one run."""

    what: Literal["run", "stop"] = Field(description="run: racks in a started run; stop: an outage")
    station_id: Text = Field(description="the dryer of a run, or the station that stopped")
    start: Moment = Field(description="start of drying, or when it stopped; local time")
    end: Moment | None = Field(
        default=None,
        description="planned end of drying, or when the station may be used again; empty: unknown",
    )
    set_point_c: float | None = Field(default=None, description="run: air temperature")
    note_id: Text | None = Field(default=None, description="run: the harvest note on the racks")
    racks: Amount | None = Field(default=None, description="run: racks of that note")
    stood_s: int | None = Field(
        default=None,
        ge=0,
        description="run: how long it stood cut and warm before; empty: unknown, the worst counts",
    )
    cause: str = Field(default="", description="stop: what is wrong, as far as known")
    source: str = Field(default="", description=SOURCE)
