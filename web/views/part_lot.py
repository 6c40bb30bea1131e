"""What a named person has decided on part-lots, in words."""

from __future__ import annotations

from scheduler.domain.part_lot import PartLot
from web.views.reading import N_, Reading


def decision(part: PartLot, reading: Reading) -> str:
    """Which racks, what, who and when; "" where nothing was decided."""
    said = part.decided
    if said is None:
        return ""
    told = (
        N_("%(part)s, %(racks)s, discarded after a stop: %(who)s decided, %(when)s")
        if part.discarded
        else N_("%(part)s, %(racks)s, over the house limit, goes on: %(who)s decided, %(when)s")
    )
    return reading.say(
        told,
        part=part.code,
        racks=reading.say_many("%(n)s rack", "%(n)s racks", part.racks),
        who=said.by,
        when=reading.moment(said.at.replace(second=0)),
    )
