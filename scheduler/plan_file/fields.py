"""What every field of a plan file means; those of the scenario files are told there."""

from __future__ import annotations

from typing import Any

from scheduler.scenario import kitchen_rows, rows

_SPAN = {"start": "first instant", "end": "the instant after the last"}
_NOTE = {"note_id": "the harvest note"}
_WEIGHTS = {"field_g": "field weight", "prepared_g": "prepared weight"}

_PLAN: dict[str, dict[str, str]] = {
    "Plan": {
        "week": "the ISO week it is for",
        "rules": "name of the rule book it obeys",
        "runs": "dryer runs in order of start",
        "duties": "who does what when, besides the growers' own cutting",
        "waiting": "notes, or parts of them, without a place",
        "proof": "how good it is proved to be; null before it is laid out in full",
        "seed": "the seed it was laid out with, if any",
        "work": "the deterministic work limit it was laid out with, if any",
        "moved": "notes whose promised turns could not be kept",
        "part_lots": "racks that a stopped dryer left part-dry",
        "unkept": "wishes that it does not keep",
    },
    "PartLot": _NOTE
    | {
        "letter": "which part of the stopped charge: A, B, C; empty where it stays whole",
        "racks": "racks it takes",
        "prepared_g": "prepared weight, as it was before drying",
        "station_id": "the dryer, cold store or freezer that stopped under it",
        "stopped": "when it stopped",
        "left_s": "drying hours left by its card",
        "water_percent": "likely moisture, wet basis",
        "stood_s": "warm before it stopped, from the cut on; null where that is not known",
        "stood_most_s": "what is counted where that is not known",
        "again_s": "warm once more since it was first cold, or drying; not told by the rest",
        "held": "where it is kept cold; null where it is not",
        "dries_on": "the run in which it dries on; null while a person decides",
        "hands": "who works on it outside staffed hours",
        "discarded": "who decided that it comes to nothing; null where nobody has",
        "goes_on": "who decided that it goes on over the limit of its clock; null where nobody has",
    },
    "GoesOn": {"by": "name of the person", "at": "when"},
    "Discarded": {"by": "name of the person", "at": "when"},
    "Held": {
        "station_id": "cold store or freezer",
        "since": "from when it is cold",
        "until": "until when; null while nobody knows",
    },
    "DriesOn": {
        "dryer_id": "the dryer",
        "set_point_c": "air temperature",
        "start": "start of drying",
        "end": "end of drying",
    },
    "Moved": _NOTE | {"rule": "number of the rule in the way", "reason": "the same in words"},
    "Unkept": {
        "wish": "number of the wish",
        "rule": "number of the rule in the way; null where it is not known",
        "reason": "the same in words",
    },
    "Run": {
        "id": "unique in the plan",
        "dryer_id": "the dryer",
        "set_point_c": "air temperature",
        "start": "start of drying",
        "end": "end of drying",
        "released": "end of cool hold; the end of drying where there is none",
        "unload": "when it is unloaded; null under rules that leave it out",
        "wash_down": "the wash-down after it; null where none is needed",
        "charges": "what lies on its racks",
    },
    "Charge": _NOTE
    | _WEIGHTS
    | {
        "letter": "empty where the lot is whole, else A, B, C",
        "racks": "racks it takes",
        "first_rack": "its first rack, counted from 1",
        "preparation": "what is done before the dryer; null under rules that leave it out",
        "after": "dry check and packing; null under rules that leave them out",
    },
    "Preparation": {
        "wash_line_id": "the wash line",
        "wash": "when it is washed",
        "cut": "when it is cut, evenly over the span",
        "tables": "the tables in use",
        "steam_loads": "its baskets in order of start; empty where nothing is steamed",
        "last_rack": "when its last rack is filled",
    },
    "TablePlace": {
        "table_id": "the table",
        "crew": "who cuts there: the grower's own pair, or hands for two kitchen hands",
    },
    "SteamLoad": {
        "steamer_id": "the steamer",
        "tub_id": "the chill tub it goes into",
        "start": "start of steaming",
        "steamed": "end of steaming",
        "end": "end of handling, when the steamer is free",
        "chilled": "when it leaves the tub",
        "grams": "weight in the basket",
    },
    "AfterDryer": {
        "dry_check": "when a hand reads its samples",
        "bench_id": "the packing bench",
        "packing": "when the grower packs",
        "bags": "bags expected",
    },
    "Duty": {
        "who": "a hand's name or a grower's id",
        "work": "what is done",
        "station_id": "where",
        "subject": "code of the charge, or id of the run",
        "span": "when",
    },
    "Waiting": _NOTE
    | _WEIGHTS
    | {
        "rule": "number of the rule that costs the place",
        "reason": "the same in words",
        "remedy": "the least change that would give it a place",
        "proved": "true if the plan was laid out with that change and placed it",
    },
    "Proof": {
        "worth_g": "prepared weight that has a place",
        "bound_g": "no plan is worth more than this",
        "whiteboard_g": "what the plan made by hand is worth",
    },
}
_ASKED: dict[str, dict[str, str]] = {
    "Asked": {
        "name": "the scenario's name",
        "title": "one line that says what the week is like",
        "kitchen": "the kitchen",
        "week": "the ISO week",
        "cards": "process cards",
        "growers": "members",
        "notes": "harvest notes in order of call",
        "happened": "what is on record",
        "promised": "what was promised before it was asked",
        "wishes": "what the manager wants by hand",
    },
    "Wish": _NOTE
    | {
        "number": "tells it from the others",
        "kind": "pin, forbid or leave free",
        "note_id": "the harvest note; empty where a dryer is left free",
        "dryer_id": "the dryer; empty for any",
        "span": "of run starts, or of time left free; null for whenever",
    },
    "Promised": {
        "plan": "the posted plan of the week; null where there is none",
        "firm": "notes whose turns in it are firm",
        "taken": "what plans of other weeks, and what is under way, have taken",
    },
    "Taken": {
        "who": "a hand's name, a grower's id or a station's id",
        "span": "when",
        "work": "what for",
    },
    "Kitchen": {
        "groups": "groups of crops that may share a run",
        "dryers": "dryers",
        "steamers": "steamers",
        "chill_tubs": "chill tubs",
        "wash_lines": "wash lines",
        "tables": "prep tables",
        "benches": "packing benches",
        "cold_store": "the cold store",
        "freezers": "freezers",
        "meters": "water activity meters",
        "hands": "kitchen hands",
        "on_call": "who may be rung at night",
        "limits": "house limits",
        "fees": "fees, in minor units of the currency (cents)",
        "caps": "what the members voted (rule 16)",
        "costs": "what the board reckons with, in minor units of the currency",
    },
    "ProcessCard": {"dry_check": "what the worst sample must read to pass"},
    "Grower": {"papers": "what must be in date"},
    "Paper": {"kind": "which paper", "until": "last day it holds; null while it is missing"},
    "Happened": {
        "now": "the instant up to which it is told",
        "runs": "runs that have started",
        "outages": "stations that stopped",
    },
    "StartedRun": {
        "dryer_id": "the dryer",
        "set_point_c": "air temperature",
        "start": "start of drying",
        "end": "planned end of drying",
        "charges": "what lies on its racks",
    },
    "StartedCharge": _NOTE
    | {
        "racks": "racks of that note",
        "stood_s": "cut and warm before it started; null where nobody wrote it down",
    },
    "Outage": {
        "station_id": "the station",
        "stopped": "when it stopped",
        "back": "when it may be used again; null while nobody knows",
        "cause": "what is wrong, as far as known",
    },
    "Week": {"year": "year of the ISO week", "number": "its number"},
    "Span": _SPAN,
    "WeeklyHours": {
        "weekday": "0 is Monday",
        "opens": "wall clock",
        "closes": "wall clock; 00:00 is the day's end",
    },
}
_FILES: dict[str, type[Any]] = {
    "Kitchen": kitchen_rows.KitchenRow,
    "Group": kitchen_rows.GroupRow,
    "Dryer": kitchen_rows.DryerRow,
    "Steamer": kitchen_rows.SteamerRow,
    "ChillTub": kitchen_rows.ChillTubRow,
    "WashLine": kitchen_rows.WashLineRow,
    "Table": kitchen_rows.TableRow,
    "PackingBench": kitchen_rows.BenchRow,
    "ColdStore": kitchen_rows.ColdStoreRow,
    "Freezer": kitchen_rows.FreezerRow,
    "Meter": kitchen_rows.MeterRow,
    "Hand": kitchen_rows.HandRow,
    "OnCall": kitchen_rows.OnCallRow,
    "Limits": kitchen_rows.LimitsRow,
    "Fees": kitchen_rows.FeesRow,
    "VotedCaps": kitchen_rows.CapsRow,
    "Costs": kitchen_rows.CostsRow,
    "ProcessCard": rows.CardRow,
    "DryCheck": rows.CardRow,
    "Grower": rows.GrowerRow,
    "HarvestNote": rows.NoteRow,
}


def meaning(kind: str, field: str) -> str | None:
    """What a field of that kind of value means, or None if nobody has told."""
    told = _PLAN.get(kind, {}) | _ASKED.get(kind, {})
    if field in told:
        return told[field]
    row = _FILES.get(kind)
    info = row.model_fields.get(field) if row else None
    return info.description if info else None


def described(schema: dict[str, Any]) -> dict[str, Any]:
    """The JSON Schema with the meaning of every field added."""
    for kind, definition in schema["$defs"].items():
        for field, shape in definition["properties"].items():
            told = meaning(kind, field)
            if told:
                shape["description"] = told
    return schema
