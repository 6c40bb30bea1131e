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
FITS_AS_IT_IS = "Nothing is in its way: a place for it was found only after the plan was made."
LAY_OUT_LONGER = "It would fit if the week were laid out for longer."

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
    "waits": "no run can be fed within the longest waits",
    "power": "the power supply bears no more",
    "wash_downs": "no dryer is washed down in time",
    "cold_store": "the cold store has too few crates left",
    "packing": "no dry check and packing turn is left in time",
}


def moment(at: datetime, zone: ZoneInfo) -> str:
    """ "Sat 22 Aug 13:00", by the kitchen's clock."""
    local = at.astimezone(zone)
    return f"{local:%a} {local.day} {local:%b} {clock(local)}"


def would_fit(words: str) -> str:
    return f"It would fit if {words}."


def between(asked: Asked, note: HarvestNote) -> str:
    zone = asked.kitchen.zone
    arrives, latest = moment(note.arrives, zone), moment(note.latest_start, zone)
    return f"between its arrival, {arrives}, and its latest start, {latest}"


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
