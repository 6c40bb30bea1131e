"""The page of two plans side by side: what it costs, who moves, who gains or loses a place."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from api.services.comparing import TwoPlans
from scheduler.comparing import ChangeKind, Compared, Costs, Stands
from scheduler.domain.asked import Asked
from scheduler.domain.turn import TurnKind
from scheduler.units import HOUR
from web.views.links import Link, week_link
from web.views.page import Page
from web.views.reading import N_, Reading

KINDS: dict[ChangeKind, str] = {
    "loses its place": N_("loses its place"),
    "loses weight": N_("less of it has a place"),
    "gains a place": N_("gains a place"),
    "gains weight": N_("more of it has a place"),
    "moves": N_("moves"),
}  # in the order in which they are told
TURNS: dict[TurnKind, str] = {"bringing": N_("Bring it"), "packing": N_("Pack")}


@dataclass(frozen=True, slots=True)
class FigureRow:
    name: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class ChangeRow:
    """before and after: lines, its runs and then its grower's turns."""

    name: str
    kind: str
    asks: bool
    before: tuple[str, ...]
    after: tuple[str, ...]
    moves: bool  # and nothing else


@dataclass(frozen=True, slots=True)
class ComparingPage(Page):
    template: ClassVar[str] = "comparing.html"
    title: str
    week: Link
    before: Link
    after: Link
    figures: tuple[FigureRow, ...]
    changes: tuple[ChangeRow, ...]
    same: str
    links: tuple[Link, ...]


def comparing_page(two: TwoPlans, reading: Reading) -> ComparingPage:
    say = reading.say
    before, after = two.before.number, two.after.number
    return ComparingPage(
        title=say("Plan %(after)s beside plan %(before)s", after=after, before=before),
        week=week_link(two.after.plan.week),
        before=Link(say("Plan %(number)s", number=before), f"/plans/{before}"),
        after=Link(say("Plan %(number)s", number=after), f"/plans/{after}"),
        figures=tuple(figure_rows(two.found, two.after.asked.kitchen.currency, reading)),
        changes=tuple(change_rows(two.found, (two.after.asked, two.before.asked), reading)),
        same=said_same(two.found, reading),
        links=tuple(_links(two, reading)),
    )


def said_same(found: Compared, reading: Reading) -> str:
    return reading.say_many(
        "%(n)s note stands the same in both, or waits in both.",
        "%(n)s notes stand the same in both, or wait in both.",
        found.same,
    )


def _links(two: TwoPlans, reading: Reading) -> Iterator[Link]:
    before, after = two.before.number, two.after.number
    if before != after:
        yield Link(reading.say("The other way round"), f"/plans/{before}/beside/{after}")
    for other in reversed(two.others):
        text = reading.say("Beside plan %(number)s", number=other)
        yield Link(text, f"/plans/{after}/beside/{other}")


def figure_rows(found: Compared, currency: str, reading: Reading) -> Iterator[FigureRow]:
    names = (
        reading.say("prepared weight rescued"),
        reading.say("notes with a place"),
        reading.say("fees of all growers"),
        reading.say("hours of drying"),
        reading.say("runs"),
        reading.say("nights with a run"),
    )
    sides = (_told(each, currency, reading) for each in (found.before, found.after))
    for name, before, after in zip(names, *sides, strict=True):
        yield FigureRow(name, before, after)


def _told(costs: Costs, currency: str, reading: Reading) -> list[str]:
    return [
        reading.weight(costs.worth_g),
        reading.number(costs.placed),
        reading.money(costs.fees, currency),
        reading.number(costs.dryer_s / HOUR, 1),
        reading.number(costs.runs),
        reading.number(costs.nights),
    ]


def change_rows(found: Compared, weeks: tuple[Asked, ...], reading: Reading) -> Iterator[ChangeRow]:
    """weeks: in which the notes are looked up."""
    order = list(KINDS)
    for each in sorted(found.changes, key=lambda each: order.index(each.kind)):
        yield ChangeRow(
            name=note_named(weeks, each.note_id),
            kind=reading.say(KINDS[each.kind]),
            asks=each.kind in ("loses its place", "loses weight"),
            before=tuple(_lines(each.before, reading)),
            after=tuple(_lines(each.after, reading)),
            moves=each.kind == "moves",
        )


def note_named(weeks: tuple[Asked, ...], note_id: str) -> str:
    """Its name, crop and farm, of the first of the weeks that has it."""
    for asked in weeks:
        if any(note.id == note_id for note in asked.notes):
            return _named(asked, note_id)
    return note_id


def _named(asked: Asked, note_id: str) -> str:
    note = asked.note(note_id)
    return f"{note.id} {asked.card(note.card_id).name}, {asked.grower(note.grower_id).farm}"


def _lines(stands: Stands, reading: Reading) -> Iterator[str]:
    if not stands.runs:
        yield reading.say("waits")
        return
    runs = [f"{dryer_id} {reading.moment(start)}" for dryer_id, start in stands.runs]
    yield f"{'; '.join(runs)} ({reading.weight(stands.placed_g)})"
    for kind, span in stands.turns:
        if kind in TURNS:
            yield f"{reading.say(TURNS[kind])}: {reading.span(span.start, span.end)}"
