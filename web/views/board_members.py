"""The table "Turns and shares" of the board paper: a row for each member, by id or number alone."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from scheduler.season.paper import Paper
from scheduler.season.turns import MemberLine
from scheduler.units import HOUR
from web.views.reading import Reading

GRAMS = 1000


@dataclass(frozen=True, slots=True)
class MemberRow:
    """One member, by the grower's id alone. Cells in the order of the columns."""

    name: str
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MemberTable:
    """note: what a column needs to be understood; "" for nothing."""

    columns: tuple[str, ...]
    rows: tuple[MemberRow, ...]
    note: str


@dataclass(frozen=True, slots=True)
class _Column:
    """alone: only where names stand; without them shares, and rack-hours or kg to reckon them
    from, would say who is who."""

    name: str
    told: Callable[[MemberLine], str]
    alone: bool = False


def member_table(paper: Paper, reading: Reading) -> MemberTable:
    columns = [each for each in _columns(paper, reading) if paper.named or not each.alone]
    note = ""
    if paper.asked and paper.named:
        what = paper.asked.name
        note = reading.say("Prepared kg more: with what the board is asked about, %(what)s.",
                           what=what[0].lower() + what[1:])  # fmt: skip
    return MemberTable(
        tuple(each.name for each in columns),
        tuple(
            MemberRow(line.grower_id, tuple(each.told(line) for each in columns))
            for line in paper.lines
        ),
        note,
    )


def _columns(paper: Paper, reading: Reading) -> Iterator[_Column]:
    say, number = reading.say, reading.number
    yield _Column(say("shares"), lambda each: number(each.shares), alone=True)
    yield _Column(say("notes"), lambda each: number(each.notes))
    yield _Column(say("kg asked"), lambda each: number(each.asked_g / GRAMS), alone=True)
    yield _Column(say("kg refused"), lambda each: number(each.refused_g / GRAMS), alone=True)
    if paper.asked:
        more = dict(paper.asked.gained)
        yield _Column(
            say("prepared kg more"),
            lambda each: number(more.get(each.grower_id, 0) / GRAMS),
            alone=True,
        )
    yield _Column(say("notes refused"), lambda each: number(each.refused))
    yield _Column(say("longest run of refusals"), lambda each: number(each.longest))
    yield _Column(say("moved"), lambda each: number(each.moved))
    yield _Column(say("rack-hours"), lambda each: number(each.rack_s / HOUR), alone=True)
    yield _Column(say("by night"), lambda each: reading.percent(_night(each)))
    yield _Column(say("per share"), lambda each: number(float(each.per_share)))


def _night(each: MemberLine) -> float:
    return each.night_rack_s / each.rack_s if each.rack_s else 0.0
