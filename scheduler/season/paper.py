"""The board paper as plain values: sentences computed from the figures, and pictures as numbers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from scheduler.domain.rules import TITLES
from scheduler.season import counts
from scheduler.season.bills import bill_lines, income
from scheduler.season.figures import Figure, figures, refused_by_rule
from scheduler.season.patronage import Patronage, cost_per_rack_hour, patronage
from scheduler.season.records import Season
from scheduler.season.turns import MemberLine, Spread, in_words, members, spread
from scheduler.units import DAY, HOUR
from scheduler.wording import count, listed, percent, plain

RETAINED_PERCENT = 30  # demo: what of the surplus is kept as equity
MINOR = 100
SUPPOSED = (
    "Suppose: every week laid out again with a small limit, without and with the change, from the"
    " same plan by the same steps; prepared weight. What a longer look would find, or growers do"
    " otherwise, is not in it."
)


@dataclass(frozen=True, slots=True)
class WeekBar:
    """One week of the season. Rack-hours loaded of those open; field kg placed and without a
    place."""

    name: str
    loaded: float
    open: float
    placed_kg: float
    refused_kg: float


@dataclass(frozen=True, slots=True)
class MemberBar:
    """One member's part of the rack-hours beside her part of the shares, both of 1."""

    name: str
    rack_hours: float
    used: float
    shares: float


@dataclass(frozen=True, slots=True)
class RuleBar:
    """Field kg that a rule kept out; None where it was not looked for which."""

    name: str
    kg: float
    rule: int | None


@dataclass(frozen=True, slots=True)
class Option:
    """What the board might do, worded: kg saved of those that waited, its price, how sure.

    without_g: prepared weight placed without it, to which saved_g comes.
    """

    name: str
    says: str
    saved: str
    price: str
    a_kg: str
    sure: str
    binds: str
    saved_g: int
    without_g: int
    off_kg: float


@dataclass(frozen=True, slots=True)
class Money:
    """Minor units of the period. costs, surplus: None where nobody told the costs."""

    income: int
    costs: int | None
    surplus: int | None
    cost_per_rack_hour: float | None
    parts: tuple[Patronage, ...]


@dataclass(frozen=True, slots=True)
class Paper:
    """Everything on the board paper of a period. options: empty where none was tried. named: else
    no shares may stand in it, nor what would give them away beside rack-hours a share."""

    season: Season
    figures: tuple[Figure, ...]
    lines: tuple[MemberLine, ...]
    spread: Spread | None
    weeks: tuple[WeekBar, ...]
    members: tuple[MemberBar, ...]
    rules: tuple[RuleBar, ...]
    money: Money
    options: tuple[Option, ...]
    summary: tuple[str, ...]
    named: bool = True

    def figure(self, key: str) -> Figure:
        return next(each for each in self.figures if each.definition.key == key)


def paper(
    season: Season, *, options: Sequence[Option] = (), asked_of: str = "", named: bool = True
) -> Paper:
    """asked_of: the sentence that says which option the figures speak for, where any was tried.

    named: whether members stand there by their ids; else by a number, the most served first.
    """
    found = figures(season)
    lines = members(season) if named else _nameless(members(season))
    apart = spread(lines)
    if options:
        season = replace(season, notes=(*season.notes, SUPPOSED))
    money = _money(season, lines)
    told = [*_sentences(season, found, money), *([in_words(apart)] if apart else [])]
    return Paper(
        season=season,
        figures=found,
        lines=lines,
        spread=apart,
        weeks=tuple(_weeks(season)),
        members=tuple(_members(season, lines)),
        rules=tuple(_rules(season)),
        money=money,
        options=tuple(options),
        summary=tuple([asked_of, *told] if asked_of else told),
        named=named,
    )


def _nameless(lines: Sequence[MemberLine]) -> tuple[MemberLine, ...]:
    """By rack-hours a share, so that neither order nor number tells who it is."""
    ranked = sorted(lines, key=lambda each: -each.per_share)
    return tuple(replace(each, grower_id=str(place)) for place, each in enumerate(ranked, 1))


def _money(season: Season, lines: Sequence[MemberLine]) -> Money:
    came = income(bill_lines(season))
    if season.costs is None:
        return Money(came, None, None, None, ())
    surplus = came - season.costs
    each = float(cost_per_rack_hour(season.costs, counts.loaded_s(season)))
    parts = patronage(lines, surplus, retained_percent=RETAINED_PERCENT)
    return Money(came, season.costs, surplus, each, parts)


def _weeks(season: Season) -> Iterator[WeekBar]:
    for week in season.weeks:
        left = sum(grams for _, grams, _ in counts.waiting(week))
        asked = sum(note.field_g for note in week.notes())
        could = counts.racks(week.kitchen) * counts.open_days(season, week) * DAY
        yield WeekBar(
            name=f"W{week.week.number:02d}",
            loaded=sum(each.rack_s for each in week.ran) / HOUR,
            open=could / HOUR,
            placed_kg=(asked - left) / 1000,
            refused_kg=left / 1000,
        )


def _members(season: Season, lines: Sequence[MemberLine]) -> Iterator[MemberBar]:
    used, shares = sum(each.rack_s for each in lines), sum(each.shares for each in lines)
    for each in lines:
        yield MemberBar(
            name=each.grower_id,
            rack_hours=each.rack_s / HOUR,
            used=each.rack_s / used if used else 0.0,
            shares=each.shares / shares if shares else 0.0,
        )


def _rules(season: Season) -> Iterator[RuleBar]:
    for rule, grams in refused_by_rule(season).items():
        name = "reason not looked for" if rule is None else f"{TITLES[rule]} (rule {rule})"
        yield RuleBar(name, grams / 1000, rule)


def _sentences(season: Season, found: Sequence[Figure], money: Money) -> Iterator[str]:
    figure = {each.definition.key: each for each in found}
    use, year, placed = figure["rack_use"], figure["rack_use_year"], figure["placed"]
    yield (
        f"In {count(len(season.weeks), 'week')} with {count(len(season.open_days()), 'day')} open"
        f" the kitchen loaded {plain(use.shown_numerator)} rack-hours: {percent(use.share)} of"
        f" those of the days open, {percent(year.share)} of those of the whole year."
    )
    yield (
        f"Of {plain(placed.shown_denominator)} kg told to it {percent(placed.share)} had a place;"
        f" {plain(figure['refused'].shown_numerator)} kg were refused and"
        f" {plain(figure['waited'].shown_numerator)} kg left over of lots placed in part."
    )
    yield from _why(season, figure["fill"])
    yield from _lost(figure)
    if money.costs is not None and money.surplus is not None:
        more = "surplus" if money.surplus >= 0 else "deficit"
        yield (
            f"Fees came to {plain(money.income / MINOR)}, costs to {plain(money.costs / MINOR)}"
            f" {season.kitchen.currency}: a {more} of {plain(abs(money.surplus) / MINOR)}; a"
            f" rack-hour cost {(money.cost_per_rack_hour or 0) / MINOR:.2f}."
        )


def _lost(figure: dict[str, Figure]) -> Iterator[str]:
    again, lost, down = figure["again"], figure["discarded"], figure["down"]
    if again.denominator:
        yield (
            f"{again.numerator} of {count(again.denominator, 'lot')} were held at a dry check;"
            f" {plain(lost.shown_numerator, decimals=1)} kg of dried food were discarded."
        )
    if down.numerator:
        yield f"Stops took {plain(down.shown_numerator)} dryer-hours."


def _why(season: Season, fill: Figure) -> Iterator[str]:
    """What kept lots out, and in which weeks."""
    rules = list(_rules(season))
    total = sum(each.kg for each in rules)
    if not total:
        yield "Nothing was refused and nothing had to wait."
        return
    known = [each for each in rules if each.rule is not None]
    busy = sorted(_weeks(season), key=lambda each: -each.refused_kg)
    few, so_far = [], 0.0
    for week in busy:
        if so_far * 2 >= total:
            break
        few.append(week)
        so_far += week.refused_kg
    names = listed(each.name for each in sorted(few, key=lambda each: each.name))
    told = "Why was not looked for."
    if known:
        share, name = percent(known[0].kg / total), known[0].name.lower()
        told = f"{share} of what had no place was kept out by {name}."
    if len(season.weeks) > 1:
        told += f" Half of it and more fell into {count(len(few), 'week')} ({names})."
    yield f"{told} Dryers were {percent(fill.share)} full while they ran."
