"""What stands in a note's way, and what would help, in plain sentences."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from zoneinfo import ZoneInfo

from scheduler.domain.asked import Asked
from scheduler.domain.harvest import HarvestNote
from scheduler.wording import clock, listed

NOT_ASKED = "not asked"
NO_CHANGE = "None of the changes we try would place it."
FIRM_IN_PART = "What has a place of it is firm, and stays as it is"
FITS_AS_IT_IS = "No rule keeps it out: its place was found only after the plan was made."
LONGER = "the week were laid out again with more seconds"

RULE_OF = {
    "hands": 12,
    "tables": 11,
    "steamers": 10,
    "waits": 9,
    "power": 13,
    "wash_downs": 8,
    "cold_store": 11,
    "packing": 17,
}
_IN_THE_WAY = {
    "hands": "too few kitchen hands are free",
    "tables": "no table or wash line is free long enough",
    "steamers": "no steamer and chill tub are free long enough",
    "waits": "the longest waits are too short",
    "power": "too little of the power supply is left",
    "wash_downs": "no dryer is washed down in time",
    "cold_store": "the cold store has too few crates left",
    "packing": "no dry check and packing turn is left in time",
}


def moment(at: datetime, zone: ZoneInfo) -> str:
    """ "Sat 22 Aug 13:00", by the kitchen's clock."""
    local = at.astimezone(zone)
    return f"{local:%a} {local.day} {local:%b} {clock(local)}"


def would_fit(words: str, *, in_part: bool) -> str:
    """in_part: some of the note has a place already."""
    return f"{'All of it' if in_part else 'It'} would fit if {words}."


def until(asked: Asked, note: HarvestNote) -> str:
    """The last that counts: the note's latest start, or the week's last closing."""
    zone = asked.kitchen.zone
    closing = max((span.end for span in asked.kitchen.staffed_spans(asked.week.days)), default=None)
    if closing is not None and closing < note.latest_start:
        return f"the last closing of the week, {moment(closing, zone)}"
    return f"its latest start, {moment(note.latest_start, zone)}"


def between(asked: Asked, note: HarvestNote) -> str:
    arrives = moment(note.arrives, asked.kitchen.zone)
    return f"between its arrival, {arrives}, and {until(asked, note)}"


def switched(asked: Asked, note: HarvestNote, switches: Sequence[str]) -> str:
    """The sentence for rules that let the note in when they are left out (all of them together)."""
    group = asked.kitchen.group(asked.card(note.card_id).group).name
    told = listed(_IN_THE_WAY[switch] for switch in switches)
    run = f"a run of the group {group} that starts {between(asked, note)}"
    return ruled(f"{told[0].upper()}{told[1:]} for {run}", *(RULE_OF[each] for each in switches))


def ruled(sentence: str, *rules: int) -> str:
    """The sentence with its rules behind it."""
    numbers = [str(rule) for rule in dict.fromkeys(rules)]
    return f"{sentence} (rule{'s' if len(numbers) > 1 else ''} {listed(numbers)})."
