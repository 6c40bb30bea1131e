"""What the page "Rack labels" shows: a label for each lot of a day's runs, or for each rack."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from typing import ClassVar

import segno

from api.services.rack_labels import DayLabels, Labelled
from scheduler.season.codes import Code as LotCode
from scheduler.season.codes import gs1
from web.views.links import Link
from web.views.lot_card import card_link
from web.views.page import Page
from web.views.reading import Reading

QUIET = 4  # modules of blank around a QR code: ISO/IEC 18004


@dataclass(frozen=True, slots=True)
class Code:
    """A QR code as a drawing: size in modules with the blank around it, and its dark parts."""

    size: int
    dark: str


@dataclass(frozen=True, slots=True)
class Label:
    """opens: the address in its QR code. bag: what a GS1 label of its bags says, "" where the card
    has no GTIN, the lot no code yet, or one too long for it."""

    code: str
    crop: str
    farm: str
    grower: str
    dryer: str
    position: str
    start: str
    opens: str
    qr: Code
    bag: str


@dataclass(frozen=True, slots=True)
class LabelsPage(Page):
    """Rack labels of one day. here: the codes lead to this machine alone, which no phone opens."""

    template: ClassVar[str] = "labels.html"
    day: str
    labels: tuple[Label, ...]
    kinds: tuple[Link, ...]
    sheet: Link
    here: bool


def labels_link(day: date, reading: Reading) -> Link:
    return Link(reading.say("Rack labels"), f"/day-sheets/{day}/labels")


def labels_page(
    found: DayLabels, day: date, reading: Reading, *, site: str, each_rack: bool, here: bool
) -> LabelsPage:
    """site: the address under which telephones find the book, with a slash at its end."""
    where = labels_link(day, reading).href
    made = (
        label
        for each in found.charges
        for label in _labels(found, each, reading, site=site, each_rack=each_rack)
    )
    return LabelsPage(
        day=reading.day(day),
        labels=tuple(made),
        kinds=(
            Link(reading.say("One for each lot"), where, not each_rack),
            Link(reading.say("One for each rack"), f"{where}?each=rack", each_rack),
        ),
        sheet=Link(reading.say("Day sheet"), f"/day-sheets/{day}"),
        here=here,
    )


def _labels(
    found: DayLabels, each: Labelled, reading: Reading, *, site: str, each_rack: bool
) -> Iterator[Label]:
    asked, run, charge, say = found.asked, each.run, each.charge, reading.say
    note = asked.note(charge.note_id)
    grower = asked.grower(note.grower_id)
    opens = f"{site.rstrip('/')}{card_link(each.lot_code or note.id)}"
    first, last = charge.first_rack, charge.first_rack + charge.racks - 1
    racks = range(first, last + 1) if each_rack else (0,)
    code, drawn = f"{each.lot_code or note.id} {charge.letter}".strip(), qr(opens)
    for rack in racks:
        yield Label(
            code=code,
            crop=asked.card(note.card_id).name,
            farm=grower.farm,
            grower=grower.name,
            dryer=run.dryer_id,
            position=say("rack %(rack)s", rack=rack)
            if rack
            else say("racks %(first)s to %(last)s", first=first, last=last),
            start=f"{charge.code}; {reading.moment(run.start)}",
            opens=opens,
            qr=drawn,
            bag=_bag(found, each),
        )


def _bag(found: DayLabels, each: Labelled) -> str:
    """With its dates once it is packed: the plan's day may come otherwise. "" where the standard
    has no room for the lot's code."""
    card = found.asked.card(found.asked.note(each.charge.note_id).card_id)
    if not (card.gtin and each.lot_code):
        return ""
    zone = found.asked.kitchen.zone
    packed = each.packed.astimezone(zone).date() if each.packed else None
    lot = LotCode(each.lot_code, each.charge.letter)
    try:
        return gs1(card.gtin, lot, net_g=card.bag_g, packed=packed, keeps_days=card.keeps_days)
    except ValueError:
        return ""


def qr(text: str) -> Code:
    """The text as a QR code of medium correction, so that a splash does not spoil it."""
    matrix = segno.make(text, error="m", micro=False).matrix
    dark = (
        f"M{column + QUIET} {row + QUIET}h{length}v1h-{length}z"
        for row, line in enumerate(matrix)
        for column, length in _stretches(line)
    )
    return Code(len(matrix) + 2 * QUIET, "".join(dark))


def _stretches(line: Iterable[int]) -> Iterator[tuple[int, int]]:
    """Where dark modules lie side by side: the first of them, and how many."""
    column = 0
    for dark, modules in groupby(line):
        length = len(list(modules))
        if dark:
            yield column, length
        column += length
