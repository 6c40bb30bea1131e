"""The board paper: figures of posted weeks, each with what is divided by what; no names."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from api.records.plans import STANDS, KeptPlan
from api.services.asking import outages_in
from api.services.plans import plan_numbered
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from api.services.so_far import so_far
from api.services.weeks import week_entry
from scheduler.domain.clock import Span, Week
from scheduler.domain.outage import Outage
from scheduler.errors import NoSuchPlan
from scheduler.ledger import Record, ledger, records
from scheduler.measures import Fraction, Measures, Rescued, lost, measure, rescued, stopped_for


@dataclass(frozen=True, slots=True)
class GrowerShare:
    """One grower's week, without her name. rack_s: rack-seconds of the week; so_far_rack_s: of the
    last posted weeks up to and with this one, as turns and shares count them."""

    shares: int
    notes: int
    refused: int
    turns: int
    rack_s: int
    so_far_rack_s: int

    @property
    def shares_counted(self) -> int:
        """Who has no share is counted as one."""
        return max(1, self.shares)


@dataclass(frozen=True, slots=True)
class Lost:
    """What stops took. stops: all stations, cut to the week's open period, without their causes,
    which tell of people; still_down: station ids."""

    dryers: Fraction
    racks: Fraction
    stops: tuple[Outage, ...]
    still_down: frozenset[str]


@dataclass(frozen=True, slots=True)
class WeekFigures:
    """One posted week: what was asked and placed, how much was used, how many lots came."""

    week: Week
    rescued: Rescued
    measures: Measures
    lots_weighed_in: int
    bags_packed: int


@dataclass(frozen=True, slots=True)
class BoardWeek:
    """A posted week on one page: who had how much (those whose turn it is next first), and what
    stops took."""

    kept: KeptPlan
    figures: WeekFigures
    growers: tuple[GrowerShare, ...]
    lost: Lost


def board(book: Book, doing: Doing, *, first: Week, last: Week) -> tuple[WeekFigures, ...]:
    """The posted weeks between those two, both counted."""
    must(doing, Act.READ_BOARD)
    return tuple(
        _figures(book, plan_numbered(book.plans, entry.posted))
        for entry in book.weeks.where()
        if entry.posted is not None and first <= entry.week <= last
    )


def board_week(book: Book, doing: Doing, week: Week) -> BoardWeek:
    """All of one posted week; NoSuchPlan where it is not posted."""
    must(doing, Act.READ_BOARD)
    posted = week_entry(book, week).posted
    if posted is None:
        raise NoSuchPlan(f"no plan of {week} has been posted")
    kept = plan_numbered(book.plans, posted)
    figures = _figures(book, kept)
    return BoardWeek(
        kept=kept,
        figures=figures,
        growers=tuple(_shared(book, kept)),
        lost=_lost(book, kept, figures.measures.period, until=doing.at),
    )


def posted_weeks(book: Book, doing: Doing) -> tuple[Week, ...]:
    """The weeks that have figures, in order."""
    must(doing, Act.READ_BOARD)
    return tuple(sorted(each.week for each in book.weeks.where() if each.posted is not None))


def _figures(book: Book, kept: KeptPlan) -> WeekFigures:
    lots = book.lots.where(week=kept.plan.week)
    return WeekFigures(
        week=kept.plan.week,
        rescued=rescued(kept.asked, kept.plan),
        measures=measure(kept.asked, kept.plan),
        lots_weighed_in=len(lots),
        bags_packed=sum(each.bags or 0 for each in lots),
    )


def _shared(book: Book, kept: KeptPlan) -> Iterator[GrowerShare]:
    week = kept.plan.week
    had = so_far(book, Week.of(week.monday + timedelta(days=7)))
    own = {each.grower_id: each for each in records(kept.asked, kept.plan)}
    notes = Counter(each.grower_id for each in kept.asked.notes)
    turns = _turns(book, kept)
    for line in ledger(kept.asked.growers, had):
        record = own.get(line.grower_id, Record(week, line.grower_id, 0))
        yield GrowerShare(
            shares=line.shares,
            notes=notes[line.grower_id],
            refused=record.refused,
            turns=turns[line.grower_id],
            rack_s=record.rack_s,
            so_far_rack_s=line.rack_s,
        )


def _turns(book: Book, kept: KeptPlan) -> Counter[str]:
    """By grower, counted as the cap counts them: a day of work is one, a day of packing another."""
    zone = kept.asked.kitchen.zone
    found = book.turns.where(week=kept.plan.week, state=STANDS)
    days = {(turn.whose, turn.kind, turn.start.astimezone(zone).date()) for turn in found}
    return Counter(whose for whose, _, _ in days)


def _lost(book: Book, kept: KeptPlan, period: Span, *, until: datetime) -> Lost:
    stops = outages_in(book, period)
    dryers, racks = lost(kept.asked.kitchen, stops, period, until=until)
    return Lost(
        dryers=dryers,
        racks=racks,
        stops=tuple(_within(each, period, until=until) for each in stops if each.stopped < until),
        still_down=frozenset(
            each.station_id for each in stops if each.back is None or each.back > until
        ),
    )


def _within(stop: Outage, period: Span, *, until: datetime) -> Outage:
    span = stopped_for(stop, until)
    start, end = max(span.start, period.start), min(span.end, period.end)
    return replace(stop, stopped=start, back=max(start, end), cause="")
