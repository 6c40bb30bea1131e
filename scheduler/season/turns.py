"""Turns and shares over a season: what each member had, against shares, and how far apart that is.

What a member had is counted from the runs as they happened. Whose turn it was (goal B) is reckoned
from posted plans alone, as scheduler/ledger.py says, so that anyone can do it again.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from statistics import median

from scheduler.domain.clock import Span, Week
from scheduler.domain.plan import Plan
from scheduler.ledger import WEEKS, LedgerLine, Record, ledger, records
from scheduler.process.money import night_rack_s
from scheduler.season.counts import waiting
from scheduler.season.records import Season, WeekRecord
from scheduler.units import HOUR


@dataclass(frozen=True, slots=True)
class MemberLine:
    """One member's season. longest: most of her notes refused one after another; moved: her notes
    whose posted runs were changed by a later posted plan."""

    grower_id: str
    shares: int
    notes: int
    asked_g: int
    placed_g: int
    refused_g: int
    refused: int
    longest: int
    moved: int
    rack_s: int
    night_rack_s: int

    @property
    def per_share(self) -> Fraction:
        """Rack-hours for each share; who has none is counted as one."""
        return Fraction(self.rack_s, HOUR * max(1, self.shares))


@dataclass(frozen=True, slots=True)
class Spread:
    """How far apart members are in rack-hours per share."""

    least: Fraction
    middle: Fraction
    most: Fraction
    gini: Fraction

    @property
    def to_middle(self) -> Fraction:
        """The most served over the one in the middle; 0 where that had nothing."""
        return self.most / self.middle if self.middle else Fraction(0)


def members(season: Season) -> tuple[MemberLine, ...]:
    """A line for every grower of the last week's list, in its order."""
    return tuple(
        _line(season, grower.id, grower.shares) for grower in season.weeks[-1].asked.growers
    )


def _line(season: Season, grower_id: str, shares: int) -> MemberLine:
    used = [_used(week, grower_id) for week in season.weeks]
    fates = [fate for week in season.weeks for fate in _fates(week, grower_id)]
    refused = [left for _, left, whole in fates if whole]
    return MemberLine(
        grower_id=grower_id,
        shares=shares,
        notes=len(fates),
        asked_g=sum(field for field, _, _ in fates),
        placed_g=sum(field - left for field, left, _ in fates),
        refused_g=sum(refused),
        refused=len(refused),
        longest=longest_run([whole for _, _, whole in fates]),
        moved=sum(_moved(week, grower_id) for week in season.weeks),
        rack_s=sum(each[0] for each in used),
        night_rack_s=sum(each[1] for each in used),
    )


def _own(week: WeekRecord, grower_id: str) -> set[str]:
    return {each.id for each in week.asked.notes if each.grower_id == grower_id}


def _used(week: WeekRecord, grower_id: str) -> tuple[int, int]:
    """Rack-seconds of her charges, and those by night."""
    own, total, night = _own(week, grower_id), 0, 0
    for run, charge in week.charges():
        if charge.note_id in own:
            span = Span(run.start, run.end)
            total += charge.racks * span.seconds
            night += night_rack_s(charge.racks, span, week.kitchen.fees, zone=week.kitchen.zone)
    return total, night


def _fates(week: WeekRecord, grower_id: str) -> Iterator[tuple[int, int, bool]]:
    """Of her notes in order of arrival: field grams, those without a place, refused whole."""
    left = {note.id: (left_g, whole) for note, left_g, whole in waiting(week)}
    own = [note for note in week.notes() if note.grower_id == grower_id]
    for note in sorted(own, key=lambda each: (each.arrives, each.id)):
        yield (note.field_g, *left.get(note.id, (0, False)))


def longest_run(flags: Sequence[bool]) -> int:
    """How many stand one after another at most."""
    longest = now = 0
    for flag in flags:
        now = now + 1 if flag else 0
        longest = max(longest, now)
    return longest


def _moved(week: WeekRecord, grower_id: str) -> int:
    """Her notes that a later posted plan has in other runs, fewer racks, or not at all."""
    own, moved = _own(week, grower_id), 0
    for before, after in zip(week.posted, week.posted[1:], strict=False):
        was, is_now = _places(before.plan), _places(after.plan)
        started = {each.note_id for run in after.asked.happened.runs for each in run.charges}
        moved += sum(
            was[note_id] != is_now.get(note_id)
            for note_id in own & set(was)
            if note_id not in started
        )
    return moved


def _places(plan: Plan) -> dict[str, list[tuple[str, str, int]]]:
    places: dict[str, list[tuple[str, str, int]]] = {}
    for run, charge in plan.charges():
        place = (run.dryer_id, run.start.isoformat(), charge.racks)
        places[charge.note_id] = sorted([*places.get(charge.note_id, []), place])
    return places


def spread(lines: Sequence[MemberLine]) -> Spread | None:
    """Of those who told the kitchen of a lot; None where nobody did."""
    found = sorted(each.per_share for each in lines if each.notes)
    if not found:
        return None
    return Spread(found[0], median(found), found[-1], gini(found))


def gini(values: Sequence[Fraction]) -> Fraction:
    """0 where all have alike, towards 1 where one has all: the mean distance between two members
    drawn by lot, over twice the mean. 0 where nobody has anything. Source: definition."""
    total = sum(values, Fraction(0))
    if not total:
        return Fraction(0)
    apart = sum((abs(a - b) for a in values for b in values), Fraction(0))
    return apart / (2 * len(values) * total)


def in_words(found: Spread) -> str:
    """The spread in sentences that need no statistics."""
    least, middle, most, times = (
        float(each) for each in (found.least, found.middle, found.most, found.to_middle)
    )
    return (
        f"The member with most had {most:,.0f} rack-hours a share, {times:.1f} times the one in the"
        f" middle ({middle:,.0f}); the one with least had {least:,.0f}. On a scale from 0"
        " (alike for every share) to 1 (all for one member) that is"
        f" {float(found.gini):.2f} (Gini)."
    )


def week_records(season: Season) -> tuple[Record, ...]:
    """What goal B reckons with: every grower's every week, from the posted plans."""
    return tuple(each for week in season.weeks for each in _of_week(week))


def _of_week(week: WeekRecord) -> Iterator[Record]:
    last = records(week.asked, week.plan)
    bumped: dict[str, int] = {}
    for before in week.posted[:-1]:
        for each in records(week.asked, week.plan, posted=before.plan):
            bumped[each.grower_id] = max(bumped.get(each.grower_id, 0), each.bumped)
    for each in last:
        more = bumped.get(each.grower_id, 0)
        yield Record(each.week, each.grower_id, each.rack_s, each.refused, more)


def turn_before(season: Season, week: Week) -> tuple[LedgerLine, ...]:
    """Whose turn it was when that week was laid out: those first whose turn it is."""
    weeks = sorted({each.week for each in season.weeks if each.week < week})[-WEEKS:]
    past = (each for each in week_records(season) if each.week in weeks)
    return ledger(season.weeks[-1].asked.growers, past)
