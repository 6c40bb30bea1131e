"""Rule 16 at posting: what a plan would make firm beyond what the members voted."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from zoneinfo import ZoneInfo

from api.records.plans import KeptPlan
from api.services.errors import NotNow
from api.services.ports import Book
from api.services.weeks import week_entry
from scheduler.caps import StandingShare, TurnDay, months, over_turns, standing_share
from scheduler.domain.turn import Turn


def must_be_within(told: Collection[str], kept: KeptPlan) -> None:
    """NotNow where a cap would be passed."""
    if told:
        raise NotNow(
            f"plan {kept.number} would make firm more than the members voted: {' '.join(told)}"
            " It can be posted over the caps on purpose"
        )


def over_caps(book: Book, kept: KeptPlan, after: Iterable[Turn], firm: set[str]) -> tuple[str, ...]:
    """A sentence for each cap that the plan passes by what it newly makes firm.

    What was promised before counts, but is not refused again (rule 18).
    """
    return (*_turns(book, kept, tuple(after)), *_standing(book, kept, firm))


def _turns(book: Book, kept: KeptPlan, after: tuple[Turn, ...]) -> Iterator[str]:
    zone = kept.asked.kitchen.zone
    for grower_id in sorted({turn.whose for turn in after if turn.state == "firm"}):
        before = book.turns.where(whose=grower_id, state="firm")
        elsewhere = (each.turn for each in before if each.week != kept.plan.week)
        firm = (turn for turn in after if (turn.whose, turn.state) == (grower_id, "firm"))
        had = months(_days((each.turn for each in before), zone))
        for month, turns in sorted(months(_days((*elsewhere, *firm), zone)).items()):
            if turns > had.get(month, 0):
                for told in over_turns(kept.asked.kitchen.caps, month, turns):
                    yield f"{grower_id} {told}"


def _days(turns: Iterable[Turn], zone: ZoneInfo) -> frozenset[TurnDay]:
    return frozenset((turn.kind, turn.start.astimezone(zone).date()) for turn in turns)


def _standing(book: Book, kept: KeptPlan, firm: set[str]) -> Iterator[str]:
    started = {charge.note_id for run in kept.asked.happened.runs for charge in run.charges}
    share = standing_share(kept.asked, kept.plan, (firm | started).__contains__)
    if share.used > _promised(book, kept).used:
        yield from share.over(kept.asked.kitchen.caps)


def _promised(book: Book, kept: KeptPlan) -> StandingShare:
    """What standing lots have firm in the plan that is posted now."""
    posted = week_entry(book, kept.plan.week).posted
    before = None if posted is None else book.plans.find(posted)
    if before is None:
        return StandingShare(0, 0)
    firm = {each.note_id for each in book.turns.where(week=kept.plan.week, state="firm")}
    return standing_share(before.asked, before.plan, firm.__contains__)
