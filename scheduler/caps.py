"""Rule 16: a grower's turns in a month and the share of standing lots, counted and held against
what the members voted."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.kitchen import VotedCaps
from scheduler.domain.plan import Plan
from scheduler.domain.turn import TurnKind
from scheduler.started import all_runs
from scheduler.wording import count, percent

TurnDay = tuple[TurnKind, date]
Month = tuple[int, int]


def months(days: Collection[TurnDay]) -> dict[Month, int]:
    """A grower's turns month by month. However many lots it is for, a day's work before the dryers
    is one turn, and a day's packing another."""
    return Counter((day.year, day.month) for _, day in set(days))


def over_turns(caps: VotedCaps, month: Month, turns: int) -> Iterator[str]:
    """ "11 turns in August, at most 10 (rule 16)." where it is so."""
    if turns > caps.turns_a_month:
        name = f"{date(*month, 1):%B}"
        yield f"{count(turns, 'turn')} in {name}, at most {caps.turns_a_month} (rule 16)."


@dataclass(frozen=True, slots=True)
class StandingShare:
    """Rack-seconds of standing lots, and all that the dryers could hold in the week: racks x
    calendar time from the first opening to the last closing, as in measures."""

    used: int
    whole: int

    def over(self, caps: VotedCaps) -> Iterator[str]:
        if 100 * self.used > caps.standing_percent * self.whole:
            share = percent(self.used / self.whole) if self.whole else "all"
            yield (
                f"Standing lots would have {share} of the week's rack-hours, "
                f"at most {caps.standing_percent} % (rule 16)."
            )


def standing_share(
    asked: Asked, plan: Plan, counts: Callable[[str], bool] = lambda _: True
) -> StandingShare:
    """Runs that have started are counted too; counts: whether a standing lot of that note is."""
    standing = {each.id for each in asked.notes if each.standing and counts(each.id)}
    used = sum(
        charge.racks * Span(run.start, run.end).seconds
        for run in all_runs(asked, plan)
        for charge in run.charges
        if charge.note_id in standing
    )
    racks = sum(dryer.racks for dryer in asked.kitchen.dryers)
    return StandingShare(used, racks * _open_s(asked))


def _open_s(asked: Asked) -> int:
    """From the first opening of the week to its last closing."""
    staffed = asked.kitchen.staffed_spans(asked.week.days)
    ends: Iterable[datetime] = [span.end for span in staffed]
    return Span(staffed[0].start, max(ends)).seconds if staffed else 0
