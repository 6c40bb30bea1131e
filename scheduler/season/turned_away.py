"""Who was turned away for a place that its grower let go too late, or did not come for."""

from __future__ import annotations

from collections.abc import Iterator

from scheduler.domain.harvest import HarvestNote
from scheduler.domain.plan import Charge, Run
from scheduler.papers import papers_short
from scheduler.process.racks import racks_needed
from scheduler.process.yields import trimmed_g
from scheduler.season.counts import waiting
from scheduler.season.records import WeekRecord
from scheduler.units import Grams

NOT_FOR_ROOM = {15, 16}  # papers and caps keep a note out whatever place is free


def turned_away(week: WeekRecord, run: Run, charge: Charge, *, of: str) -> list[str]:
    """Other growers' notes left without a place that could have had the charge's: by dryer, set
    point, time and racks, and not kept out by papers or caps. of: the grower whose place it was."""
    return [
        note.id
        for note, left in _wanting(week)
        if note.grower_id != of
        and note.arrives <= run.start <= note.latest_start
        and _in_order(week, note, run)
        and _fits(week, note, run, charge=charge, left_g=left)
    ]


def _wanting(week: WeekRecord) -> Iterator[tuple[HarvestNote, Grams]]:
    rules = {each.note_id: each.rule for each in week.plan.waiting}
    for note, left, _ in waiting(week):
        if rules.get(note.id) not in NOT_FOR_ROOM:
            yield note, left


def _in_order(week: WeekRecord, note: HarvestNote, run: Run) -> bool:
    """Whether nothing of rule 15 is short on the days of its arrival and of the run's start."""
    asked, zone = week.asked, week.kitchen.zone
    days = {each.astimezone(zone).date() for each in (note.arrives, run.start)}
    return not papers_short(asked.grower(note.grower_id), asked.card(note.card_id), days)


def _fits(week: WeekRecord, note: HarvestNote, run: Run, *, charge: Charge, left_g: Grams) -> bool:
    """All of what was left, or the least part where it may be split (rule 14), on the racks that
    the run would have had free, at its set point (rule 6)."""
    card, dryer = week.asked.card(note.card_id), week.kitchen.dryer(run.dryer_id)
    if card.group not in dryer.groups:
        return False
    if abs(card.set_point_c - run.set_point_c) > card.tolerance_c:
        return False
    prepared = trimmed_g(left_g, card.trim_loss_percent)
    needed = racks_needed(prepared, card.g_per_m2, rack_area_cm2=dryer.rack_area_cm2)
    least = min(needed, card.least_racks) if note.may_split else needed
    return least <= dryer.racks - run.racks + charge.racks
