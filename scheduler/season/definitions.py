"""Every measure of the board paper in one table: what is divided by what, and what that means."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Unit = Literal[
    "dryer-hours", "rack-hours", "table-hours", "hand-hours", "steamer-hours", "hours", "kg",
    "lots", "notes", "runs", "bags", "kWh", "money",
]  # fmt: skip
Over = Literal["season", "year"]


@dataclass(frozen=True, slots=True)
class Definition:
    """What a measure is. footnote: its name in ISO 22400-2 and how our hours stand for its.

    Hours are kept in whole seconds of their unit, kg in grams, kWh in Wh, money in minor units.
    """

    key: str
    name: str
    numerator: str
    denominator: str
    unit: Unit
    of: Unit
    meaning: str
    over: Over = "season"
    footnote: str = ""


# Formulas and times of ISO 22400-2 as they stand in the standard's public ontology (Institute of
# Automation Technology, Helmut Schmidt University Hamburg); the standard itself was not at hand.
# Its figures are of a work unit; only a dryer is one here. Left out, for its times are none of
# ours: allocation efficiency (its busy time has set-up in it), utilization efficiency (divides by
# that), actual unit down time (idle though available; ours has stopped).
_ISO = "ISO 22400-2, by its ontology (w3id.org/hsu-aut/ISO22400-2, 2.0.0):"
_OCCUPIED_ISO = (
    f"{_ISO} availability = actual production time (here: drying) / planned busy time (here: all"
    " hours of the days open)."
)
_AGAIN_ISO = f"{_ISO} rework ratio = rework quantity / produced quantity; here in lots."
_FIRST_ISO = f"{_ISO} first pass yield = good parts / inspected parts; here a part is a lot."
_SCRAP_ISO = f"{_ISO} scrap ratio = scrap quantity / produced quantity; here in dried weight."

DEFINITIONS: tuple[Definition, ...] = (
    Definition(
        "occupied", "Dryers occupied", "hours in which dryers dried", "dryers x 24 h x days open",
        "dryer-hours", "dryer-hours",
        "How much of the time open to it a dryer was drying. Cool hold is not counted.",
        footnote=_OCCUPIED_ISO,
    ),
    Definition(
        "rack_use", "Rack use", "loaded rack-hours", "racks x 24 h x days open",
        "rack-hours", "rack-hours",
        "How much of all rack space was used, on the days on which the kitchen was open.",
    ),
    Definition(
        "fill", "Fill when running", "loaded rack-hours", "racks of dryers x their hours of drying",
        "rack-hours", "rack-hours",
        "How full dryers were while they dried; the rest to 100 % is air heated for empty racks.",
    ),
    Definition(
        "tables", "Table hours", "hours of tables in use, cutting", "tables x staffed hours",
        "table-hours", "table-hours",
        "How much of the tables' time was used while the kitchen was staffed. As posted.",
    ),
    Definition(
        "hands", "Hands at work", "hours of named duties of kitchen hands", "their hours on shift",
        "hand-hours", "hand-hours",
        "How much of the hands' shifts the plan gave them work by name; answering, weighing in and"
        " cleaning the house are not in it. As posted.",
    ),
    Definition(
        "steamers", "Steamer use", "hours of steamers with a load", "steamers x staffed hours",
        "steamer-hours", "steamer-hours",
        "How much of the steamers' time was used while the kitchen was staffed. As posted.",
    ),
    Definition(
        "placed", "Placed", "field weight that had a place", "field weight that asked for one",
        "kg", "kg", "What of the harvest told to the kitchen had racks in the posted plans.",
    ),
    Definition(
        "refused", "Refused", "field weight of notes of which nothing had a place",
        "field weight that asked for one", "kg", "kg",
        "What was told to the kitchen and turned away whole.",
    ),
    Definition(
        "waited", "Waited", "field weight left over of notes placed in part",
        "field weight that asked for one", "kg", "kg",
        "What was left of a lot of which a part had a place.",
    ),
    Definition(
        "kg_in", "Brought in", "field weight weighed at the door",
        "field weight told of the lots that came, with what was left over of them", "kg", "kg",
        "Planned against happened: how much came of what was told.",
    ),
    Definition(
        "prepared", "Prepared", "prepared weight put on racks", "field weight of the same charges",
        "kg", "kg", "What was left after trimming, by the process cards.",
    ),
    Definition(
        "dried", "Dried", "dried weight reckoned", "prepared weight put on racks", "kg", "kg",
        "What the process cards' water leaves of it.",
    ),
    Definition(
        "water", "Water removed", "prepared less dried weight", "prepared weight put on racks",
        "kg", "kg", "What the dryers had to drive out.",
    ),
    Definition(
        "energy", "Energy", "heat and fans reckoned: kWh a kg of water x water removed",
        "dried weight reckoned", "kWh", "kg",
        "Energy for each kg of dried food, by the kitchen's own figure; not metered.",
    ),
    Definition(
        "yields", "Bags packed", "bags packed", "bags planned of the same lots", "bags", "bags",
        "Planned against happened: yield of the lots that are packed.",
    ),
    Definition(
        "hours", "Drying hours", "drying hours of runs on record", "drying hours posted for them",
        "hours", "hours",
        "Planned against happened: whether runs take as long as the process cards say.",
    ),
    Definition(
        "arrivals", "Came in time", "lots that came no later than an hour after they were expected",
        "lots that came", "lots", "lots", "Planned against happened: arrivals at the door.",
    ),
    Definition(
        "on_record", "Runs on record", "runs of which the start was written down", "runs counted",
        "runs", "runs", "The others are counted as they were posted.",
    ),
    Definition(
        "again", "Dried again", "lots that a dry check sent back", "lots with a dry check",
        "lots", "lots", "Held at a dry check at least once.", footnote=_AGAIN_ISO,
    ),
    Definition(
        "first_pass", "Passed at once", "lots whose first dry check passed each charge",
        "lots with a dry check", "lots", "lots", "No dry check of it said hold.",
        footnote=_FIRST_ISO,
    ),
    Definition(
        "discarded", "Discarded", "dried weight thrown away", "dried weight reckoned", "kg", "kg",
        "What was dried and lost.", footnote=_SCRAP_ISO,
    ),
    Definition(
        "down", "Dryers down", "hours in which dryers stood still on days open",
        "dryers x 24 h x days open", "dryer-hours", "dryer-hours",
        "What stops took of the time in which dryers could have dried.",
    ),
    Definition(
        "night", "By night", "loaded rack-hours between the night hours of the fees",
        "loaded rack-hours", "rack-hours", "rack-hours",
        "How much of the use falls into the cheaper hours.",
    ),
    Definition(
        "occupied_year", "Dryers occupied, whole year", "hours in which dryers dried",
        "dryers x all hours of the calendar year", "dryer-hours", "dryer-hours",
        "The same use against a whole year, in which most days have no harvest.", over="year",
    ),
    Definition(
        "rack_use_year", "Rack use, whole year", "loaded rack-hours",
        "racks x all hours of the calendar year", "rack-hours", "rack-hours",
        "The same use against a whole year, in which most days have no harvest.", over="year",
    ),
)  # fmt: skip
BY_KEY = {each.key: each for each in DEFINITIONS}
