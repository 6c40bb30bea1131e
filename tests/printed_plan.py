"""The reference plan of the demo August, transcribed by hand (easier rules)."""

from __future__ import annotations

import re
from datetime import datetime, timedelta

from scheduler.domain.asked import Asked
from scheduler.domain.plan import Charge, Plan, Run, Waiting
from scheduler.units import Grams, Racks

PRINTED = {
    "D1": (
        "Mon 14:30-Mon 23:30 R06 18; Tue 08:00-Tue 18:00 R04 18; Tue 19:00-Wed 06:00 R10 19;"
        "Wed 10:15-Wed 23:15 R14 13; Thu 09:45-Thu 17:45 R21 18; Thu 18:45-Fri 05:45 R19 19;"
        "Fri 13:00-Fri 23:00 R26 19"
    ),
    "D2": (
        "Mon 09:45-Mon 17:45 R03 18; Mon 18:45-Tue 04:45 R04 18; Tue 11:00-Tue 23:00 R08 19;"
        "Wed 09:30-Thu 00:30 R13 19; Thu 12:00-Fri 00:00 R22 19; Fri 12:00-Fri 23:00 R24 19"
    ),
    "D3": (
        "Mon 11:00-Tue 02:00 R02 38; Tue 11:15-Wed 02:15 R09 40; Wed 08:15-Wed 14:15 R07 38;"
        "Wed 15:15-Thu 03:15 R16 19 + R12 17; Thu 11:45-Thu 17:45 R18 38;"
        "Thu 18:45-Fri 04:45 R15 19 + R01 21; Fri 08:15-Fri 23:15 R20 38"
    ),
    "D4": "Mon 11:00-Mon 23:00 R05 11; Wed 10:00-Wed 18:00 R17 10; Thu 17:00-Fri 05:00 R23 11",
}
LEFT_OUT = ("R11", "R25")
LETTERS = {("D2", "R04"): "A", ("D1", "R04"): "B"}  # the one split lot, in order of start
DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
LOAD = re.compile(r"(\w{3}) (\d\d:\d\d)-(\w{3}) (\d\d:\d\d) (.+)")


def printed_plan(asked: Asked) -> Plan:
    """24 of 26 notes in 23 runs, 5,909 loaded rack-hours; preparation and packing are left out."""
    runs = [
        _run(asked, dryer_id, load.strip())
        for dryer_id, loads in PRINTED.items()
        for load in loads.split(";")
    ]
    return Plan(
        week=asked.week,
        rules="simple",
        runs=tuple(sorted(runs, key=lambda run: (run.start, run.dryer_id))),
        duties=(),
        waiting=tuple(_waiting(asked, note_id) for note_id in LEFT_OUT),
    )


def _run(asked: Asked, dryer_id: str, load: str) -> Run:
    found = LOAD.fullmatch(load)
    assert found, load
    start, end = _at(asked, found[1], found[2]), _at(asked, found[3], found[4])
    charges, first = [], 1
    for part in found[5].split(" + "):
        note_id, racks = part.split()
        charges.append(_charge(asked, dryer_id, note_id, racks=int(racks), first=first))
        first += int(racks)
    staffed = asked.staffed()
    released = end if any(span.holds(end) for span in staffed) else _opening(asked, end)
    return Run(
        id=f"{dryer_id} {found[1]} {found[2]}",
        dryer_id=dryer_id,
        set_point_c=asked.card(asked.note(charges[0].note_id).card_id).set_point_c,
        start=start,
        end=end,
        released=released,
        unload=None,
        wash_down=None,
        charges=tuple(charges),
    )


def _charge(asked: Asked, dryer_id: str, note_id: str, *, racks: int, first: int) -> Charge:
    letter = LETTERS.get((dryer_id, note_id), "")
    parts = 2 if letter else 1
    note = asked.note(note_id)
    kept = 1 - asked.card(note.card_id).trim_loss_percent / 100
    return Charge(
        note_id=note_id,
        letter=letter,
        racks=Racks(racks),
        first_rack=first,
        field_g=Grams(note.field_g // parts),
        prepared_g=Grams(round(note.field_g * kept) // parts),
    )


def _waiting(asked: Asked, note_id: str) -> Waiting:
    note = asked.note(note_id)
    kept = 1 - asked.card(note.card_id).trim_loss_percent / 100
    prepared = Grams(round(note.field_g * kept))
    return Waiting(note_id, note.field_g, prepared, 5, "no dryer has the racks free in time")


def _at(asked: Asked, day: str, clock: str) -> datetime:
    date = asked.week.monday + timedelta(days=DAYS.index(day))
    local = datetime.fromisoformat(f"{date} {clock}").replace(tzinfo=asked.kitchen.zone)
    return local.astimezone(tz=asked.staffed()[0].start.tzinfo)


def _opening(asked: Asked, after: datetime) -> datetime:
    return min(span.start for span in asked.staffed() if span.start >= after)
