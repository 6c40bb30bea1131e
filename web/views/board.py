"""What the page "Board paper" shows: a posted week's figures, each with what is divided by what."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from statistics import median
from typing import ClassVar

from api.services.board import BoardWeek, GrowerShare, Lost
from scheduler.domain.clock import Week
from scheduler.domain.outage import Outage
from scheduler.measures import Fraction
from scheduler.units import HOUR
from web.views.links import Link, version
from web.views.page import Page
from web.views.reading import Reading
from web.views.week import Figure

ADDRESS = "/board"


@dataclass(frozen=True, slots=True)
class Share:
    """A figure as a share, the fraction it is, and what that means."""

    name: str
    share: str
    fraction: str
    meaning: str


@dataclass(frozen=True, slots=True)
class GrowerRow:
    """One grower's week, without her name."""

    shares: str
    notes: str
    refused: str
    turns: str
    rack_hours: str
    per_share: str
    so_far: str


@dataclass(frozen=True, slots=True)
class BoardPage(Page):
    """Board paper: four figures, how full, asked and placed, turns and shares, lost to stops.

    spread: how far apart the growers are. stops: one a line. before, after: posted weeks.
    """

    template: ClassVar[str] = "board.html"
    kitchen: str
    days: str
    week: str
    version: str
    figures: tuple[Figure, ...]
    full: tuple[Share, ...]
    placed: tuple[Share, ...]
    growers: tuple[GrowerRow, ...]
    together: GrowerRow
    spread: str
    lost: tuple[Share, ...]
    stops: tuple[str, ...]
    before: Link | None
    after: Link | None


def board_link(week: Week) -> Link:
    return Link(str(week), f"{ADDRESS}/{week}")


def board_page(found: BoardWeek, weeks: tuple[Week, ...], reading: Reading) -> BoardPage:
    """weeks: all that are posted, in order."""
    week, asked = found.figures.week, found.kept.asked
    before = [board_link(each) for each in weeks if each < week]
    after = [board_link(each) for each in weeks if each > week]
    period = found.figures.measures.period
    return BoardPage(
        kitchen=asked.kitchen.name,
        days=reading.span(period.start, period.end),
        week=str(week),
        version=version(found.kept, reading),
        figures=tuple(_figures(found, reading)),
        full=tuple(_share(each, reading) for each in found.figures.measures.four),
        placed=tuple(_placed(found, reading)),
        growers=tuple(_grower(each, reading) for each in found.growers),
        together=_together(found.growers, reading),
        spread=_spread(found.growers, reading),
        lost=tuple(_share(each, reading) for each in (found.lost.dryers, found.lost.racks)),
        stops=tuple(_stops(found.lost, reading)),
        before=before[-1] if before else None,
        after=after[0] if after else None,
    )


def _figures(found: BoardWeek, reading: Reading) -> Iterator[Figure]:
    got, say, use = found.figures.rescued, reading.say, found.figures.measures.rack_use
    yield Figure(
        reading.weight(got.placed_prepared_g),
        say("of %(asked)s prepared weight has a place", asked=reading.weight(got.asked_prepared_g)),
    )
    words = say("of %(notes)s notes placed whole", notes=reading.number(got.asked_notes))
    if got.part_placed_notes:
        words += say(", %(part)s more in part", part=reading.number(got.part_placed_notes))
    yield Figure(reading.number(got.placed_notes), words)
    yield Figure(
        reading.number(use.numerator),
        say(
            "of %(all)s rack-hours loaded, %(share)s",
            all=reading.number(use.denominator),
            share=reading.percent(use.share),
        ),
    )
    asking = [each for each in found.growers if each.notes]
    served = sum(each.rack_s > 0 for each in asking)
    yield Figure(
        reading.number(served),
        say("of %(growers)s growers who asked were served", growers=reading.number(len(asking))),
    )


def _share(each: Fraction, reading: Reading) -> Share:
    say = reading.say
    fraction = say(
        "%(part)s of %(all)s %(unit)s",
        part=reading.number(each.numerator, 1),
        all=reading.number(each.denominator, 1),
        unit=say(each.unit),
    )
    return Share(say(each.name), reading.percent(each.share), fraction, say(each.definition))


def _placed(found: BoardWeek, reading: Reading) -> Iterator[Share]:
    got, say, lots = found.figures.rescued, reading.say, found.figures.lots_weighed_in
    kept = say("with a place in the posted plan, of what was asked")
    whole = say("placed whole in the posted plan, of all that asked")
    notes = (reading.number(got.placed_notes), reading.number(got.asked_notes))
    field = (reading.weight(got.placed_field_g), reading.weight(got.asked_field_g))
    prepared = (reading.weight(got.placed_prepared_g), reading.weight(got.asked_prepared_g))
    came = (reading.number(lots), reading.number(len(found.kept.asked.notes)))
    yield _of(say("Notes"), notes, _part(got.placed_notes, got.asked_notes), whole, reading)
    yield _of(
        say("Field weight"), field, _part(got.placed_field_g, got.asked_field_g), kept, reading
    )
    yield _of(
        say("Prepared weight"),
        prepared,
        _part(got.placed_prepared_g, got.asked_prepared_g),
        kept,
        reading,
    )
    bags = say("lots weighed in, of all notes; bags packed of them so far: %(bags)s",
               bags=reading.number(found.figures.bags_packed))  # fmt: skip
    yield _of(say("At the door"), came, _part(lots, len(found.kept.asked.notes)), bags, reading)


def _part(part: int, whole: int) -> float:
    return part / whole if whole else 0.0


def _of(name: str, words: tuple[str, str], share: float, meaning: str, reading: Reading) -> Share:
    fraction = reading.say("%(part)s of %(all)s", part=words[0], all=words[1])
    return Share(name, reading.percent(share), fraction, meaning)


def _grower(each: GrowerShare, reading: Reading) -> GrowerRow:
    counted = each.shares_counted
    return GrowerRow(
        shares=reading.number(each.shares),
        notes=reading.number(each.notes),
        refused=reading.number(each.refused),
        turns=reading.number(each.turns),
        rack_hours=reading.number(each.rack_s / HOUR, 1),
        per_share=reading.number(each.rack_s / HOUR / counted, 1),
        so_far=reading.number(each.so_far_rack_s / HOUR / counted, 1),
    )


def _together(growers: tuple[GrowerShare, ...], reading: Reading) -> GrowerRow:
    counted = sum(each.shares_counted for each in growers) or 1
    rack_s, so_far_s = (
        sum(each.rack_s for each in growers),
        sum(each.so_far_rack_s for each in growers),
    )
    return GrowerRow(
        shares=reading.number(sum(each.shares for each in growers)),
        notes=reading.number(sum(each.notes for each in growers)),
        refused=reading.number(sum(each.refused for each in growers)),
        turns=reading.number(sum(each.turns for each in growers)),
        rack_hours=reading.number(rack_s / HOUR, 1),
        per_share=reading.number(rack_s / HOUR / counted, 1),
        so_far=reading.number(so_far_s / HOUR / counted, 1),
    )


def _spread(growers: tuple[GrowerShare, ...], reading: Reading) -> str:
    """Of those who asked this week."""
    found = [each.rack_s / HOUR / each.shares_counted for each in growers if each.notes]
    if not found:
        return ""
    least, middle, most = (
        reading.number(each, 1) for each in (min(found), median(found), max(found))
    )
    return reading.say(
        "Rack-hours per share among those who asked: least %(least)s, middle %(middle)s,"
        " most %(most)s.",
        least=least,
        middle=middle,
        most=most,
    )


def _stops(lost: Lost, reading: Reading) -> Iterator[str]:
    for stop in lost.stops:
        yield _stop(stop, reading, still=stop.station_id in lost.still_down)


def _stop(stop: Outage, reading: Reading, *, still: bool) -> str:
    end = stop.back or stop.stopped
    seconds = int((end - stop.stopped).total_seconds())
    told = reading.say(
        "%(station)s: %(when)s, %(long)s",
        station=stop.station_id,
        when=reading.span(stop.stopped, end),
        long=reading.duration(seconds),
    )
    return reading.say("%(stop)s, still down", stop=told) if still else told
