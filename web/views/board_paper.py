"""What the board paper of a period shows: two printed pages of sentences, pictures and tables.

Its sentences are the planner's own, in English; headings and labels are in the reader's language.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from typing import ClassVar

from scheduler.season.figures import Figure
from scheduler.season.paper import Option, Paper
from web.views.board_members import MemberTable, member_table
from web.views.drawing import INK, LETTERS, RUST, TINT, Column, Drawing, Line, lying, standing
from web.views.links import Link
from web.views.page import Page
from web.views.reading import Reading

WIDE, HALF, THIRD = 700.0, 335.0, 265.0
ROOM, NAMES, RULES = 1.25, 86.0, 110.0
LARGE = 16.0  # letters on a telephone, as in paper.css
SHOWN_FIRST = ("placed", "rack_use", "fill")


def season_address(year: int) -> str:
    return f"/board/season/{year}"


@dataclass(frozen=True, slots=True)
class Big:
    """A figure in large letters, and the fraction that it is."""

    value: str
    words: str


@dataclass(frozen=True, slots=True)
class MeasureRow:
    """mark: the number of its footnote, "" where it has none."""

    name: str
    share: str
    fraction: str
    meaning: str
    mark: str


@dataclass(frozen=True, slots=True)
class BoardPaperPage(Page):
    """known: what must be known before anything else. links: to its tables. why: of each rule that
    kept something out, what that means."""

    template: ClassVar[str] = "board_paper.html"
    title: str
    under: str
    known: tuple[str, ...]
    summary: tuple[str, ...]
    question: str  # what the board is asked, "" for nothing
    big: tuple[Big, ...]
    weeks: Drawing
    weeks_narrow: Drawing  # for a telephone
    happened: Drawing
    rules: Drawing
    why: str
    members: Drawing
    named: bool
    options: tuple[Option, ...]
    money: tuple[Big, ...]
    measures: tuple[MeasureRow, ...]
    member_table: MemberTable
    footnotes: tuple[str, ...]
    counted: str
    links: tuple[Link, ...]
    tried: str = ""  # when, and on how many weeks


@dataclass(frozen=True, slots=True)
class PaperAlone(BoardPaperPage):
    """The same as a file of its own. styles: the whole stylesheet."""

    template: ClassVar[str] = "paper_alone.html"
    styles: str = ""


def board_paper_page(
    paper: Paper, reading: Reading, *, styles: str = "", links: tuple[Link, ...] = ()
) -> BoardPaperPage:
    """styles: given where the paper is to stand alone."""
    season, say = paper.season, reading.say
    kind = partial(PaperAlone, styles=styles) if styles else BoardPaperPage
    footnotes = list(dict.fromkeys(f.definition.footnote for f in paper.figures))
    footnotes = [each for each in footnotes if each]
    return kind(
        title=say("Board paper"),
        under=say(
            "%(kitchen)s, %(first)s to %(last)s",
            kitchen=season.kitchen.name,
            first=reading.dated(season.first),
            last=reading.dated(season.last),
        ),
        known=paper.known,
        summary=paper.summary,
        question=paper.asked.question if paper.asked else "",
        big=tuple(_big(paper.figure(key), reading) for key in SHOWN_FIRST),
        weeks=_weeks(paper, reading, width=WIDE),
        weeks_narrow=_weeks(paper, reading, width=HALF, letters=LARGE),
        happened=_happened(paper, reading),
        rules=_rules(paper, reading),
        why=" ".join(f"{each.name}: {each.plainly}." for each in paper.rules if each.plainly),
        members=_members(paper, reading),
        options=paper.options,
        money=tuple(_money(paper, reading)),
        measures=tuple(_measure(each, reading, footnotes) for each in paper.figures),
        named=paper.named,
        member_table=member_table(paper, reading),
        footnotes=tuple(footnotes),
        counted=paper.counted,
        links=links,
    )  # fmt: skip


def _big(each: Figure, reading: Reading) -> Big:
    return Big(
        reading.percent(each.share),
        f"{reading.say(each.definition.name)}: " + _fraction(each, reading),
    )


def _fraction(each: Figure, reading: Reading) -> str:
    whole = {"lots", "notes", "runs", "bags"}
    of = each.definition.of if not each.is_share else ""
    parts = [
        reading.number(amount, 0 if unit in whole or amount >= 100 else 1)  # noqa: PLR2004 few
        for amount, unit in (
            (each.shown_numerator, each.definition.unit),
            (each.shown_denominator, each.definition.of),
        )
    ]
    unit = reading.say(each.definition.unit)
    if of:
        return reading.say(
            "%(part)s %(unit)s for %(all)s %(of)s", part=parts[0], unit=unit, all=parts[1],
            of=reading.say(of),
        )  # fmt: skip
    return reading.say("%(part)s of %(all)s %(unit)s", part=parts[0], all=parts[1], unit=unit)


def _measure(each: Figure, reading: Reading, footnotes: list[str]) -> MeasureRow:
    note = each.definition.footnote
    return MeasureRow(
        name=reading.say(each.definition.name),
        share=_share(each, reading),
        fraction=_fraction(each, reading),
        meaning=f"{each.definition.numerator} / {each.definition.denominator}",
        mark=str(footnotes.index(note) + 1) if note else "",
    )


def _share(each: Figure, reading: Reading) -> str:
    """A percentage where it is one; a dash where there was nothing to divide by."""
    if not each.denominator:
        return "-"
    return reading.percent(each.share) if each.is_share else reading.number(each.share, 2)


def _weeks(paper: Paper, reading: Reading, *, width: float, letters: float = LETTERS) -> Drawing:
    most = max((each.open for each in paper.weeks), default=0) or 1
    heaviest = max((each.refused_kg for each in paper.weeks), default=0) or 1
    columns = [
        Column(each.name, each.loaded / most, each.open / most, each.refused_kg / heaviest)
        for each in paper.weeks
    ]
    tops = (f"{reading.number(most)} h", f"{reading.number(heaviest)} kg")
    label = reading.say("Rack-hours loaded and open, and kg without a place, by week")
    return standing(label, columns, width=width, tops=tops, letters=letters)


def _happened(paper: Paper, reading: Reading) -> Drawing:
    keys = ("kg_in", "yields", "hours", "arrivals")
    lines = [
        Line(
            reading.say(figure.definition.name),
            ((figure.share / ROOM, INK),),
            reading.percent(figure.share),
        )
        for figure in map(paper.figure, keys)
        if figure.denominator
    ]
    label = reading.say("What happened, of what was planned")
    return lying(label, lines, width=HALF, left=NAMES, mark=1 / ROOM)


def _rules(paper: Paper, reading: Reading) -> Drawing:
    heaviest = max((each.kg for each in paper.rules), default=0) or 1
    lines = [
        Line(each.name, ((each.kg / heaviest, RUST),), f"{reading.number(each.kg)} kg")
        for each in paper.rules
    ]
    label = reading.say("Kg without a place, by the rule that cost it")
    return lying(label, lines, width=HALF, left=RULES)


def _members(paper: Paper, reading: Reading) -> Drawing:
    if not paper.named:
        return _nameless_members(paper, reading)
    most = max((max(each.used, each.shares) for each in paper.members), default=0) or 1
    lines = [
        Line(
            each.name,
            ((each.used / most, INK), (each.shares / most, TINT)),
            f"{reading.percent(each.used)} / {reading.percent(each.shares)}",
        )
        for each in paper.members
    ]
    label = reading.say("Part of the rack-hours over part of the shares, by member")
    return lying(label, lines, width=THIRD, left=34.0)


def _nameless_members(paper: Paper, reading: Reading) -> Drawing:
    """Shares are known of each member: they would name her."""
    hours = [(each.grower_id, float(each.per_share)) for each in paper.lines]
    most = max((each for _, each in hours), default=0) or 1
    lines = [Line(name, ((each / most, INK),), reading.number(each, 1)) for name, each in hours]
    label = reading.say("Rack-hours for each share, by member")
    return lying(label, lines, width=THIRD, left=34.0)


def _money(paper: Paper, reading: Reading) -> Iterator[Big]:
    money, say = paper.money, reading.say
    currency = paper.season.kitchen.currency
    yield Big(reading.money(money.income, currency), say("fees"))
    if money.costs is None or money.surplus is None:
        return
    yield Big(reading.money(money.costs, currency), say("costs"))
    yield Big(reading.money(money.surplus, currency), say("surplus, shared out by rack-hours"))
    retained = sum(each.retained for each in money.parts)
    yield Big(reading.money(retained, currency), say("of it retained as equity"))
    each_hour = round(money.cost_per_rack_hour or 0)
    yield Big(reading.money(each_hour, currency), say("costs for each rack-hour"))
