"""The board paper: figures of posted weeks, each with what is divided by what; no names."""

from __future__ import annotations

from dataclasses import dataclass

from api.services.ports import Book
from api.services.roles import Act, Doing, must
from scheduler.domain.clock import Week
from scheduler.measures import Measures, Rescued, measure, rescued


@dataclass(frozen=True, slots=True)
class WeekFigures:
    """One posted week: what was asked and placed, how much was used, how many lots came."""

    week: Week
    rescued: Rescued
    measures: Measures
    lots_weighed_in: int
    bags_packed: int


def board(book: Book, doing: Doing, *, first: Week, last: Week) -> tuple[WeekFigures, ...]:
    """The posted weeks between those two, both counted."""
    must(doing, Act.READ_BOARD)
    return tuple(
        _figures(book, entry.week, entry.posted)
        for entry in book.weeks.where()
        if entry.posted is not None and first <= entry.week <= last
    )


def _figures(book: Book, week: Week, posted: int) -> WeekFigures:
    kept = book.plans.find(posted)
    if kept is None:
        raise LookupError(posted)
    lots = book.lots.where(week=week)
    return WeekFigures(
        week=week,
        rescued=rescued(kept.asked, kept.plan),
        measures=measure(kept.asked, kept.plan),
        lots_weighed_in=len(lots),
        bags_packed=sum(each.bags or 0 for each in lots),
    )
