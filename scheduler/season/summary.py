"""The board paper in short: sentences computed from its figures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from scheduler.season.bars import RuleBar, WeekBar
from scheduler.season.counts import racks
from scheduler.season.crowded import RACKS, crowded
from scheduler.season.crowded import in_words as crowd_in_words
from scheduler.season.figures import Figure
from scheduler.season.money import MINOR, Money
from scheduler.season.records import Season
from scheduler.wording import count, listed, percent, plain


def sentences(
    season: Season,
    found: Sequence[Figure],
    money: Money,
    *,
    weeks: Sequence[WeekBar],
    rules: Sequence[RuleBar],
) -> Iterator[str]:
    figure = {each.definition.key: each for each in found}
    kitchen = season.kitchen
    use, year, placed = figure["rack_use"], figure["rack_use_year"], figure["placed"]
    yield (
        f"The kitchen has {count(len(kitchen.dryers), 'dryer')} with"
        f" {count(racks(kitchen), 'rack')}: loaded {percent(use.share)} of the time on"
        f" {count(len(season.open_days()), 'day')} open in {count(len(season.weeks), 'week')},"
        f" {percent(year.share)} of the year."
    )
    yield (
        f"Of {plain(placed.shown_denominator)} kg told (field weight) {percent(placed.share)} had a"
        f" place; {plain(figure['refused'].shown_numerator)} kg were refused,"
        f" {plain(figure['waited'].shown_numerator)} kg left over of lots placed in part."
        f" {_why(weeks, rules)}"
    )
    yield from _racks(season, rules)
    yield from _lost(figure)
    if money.costs is not None and money.surplus is not None:
        more = "surplus" if money.surplus >= 0 else "deficit"
        yield (
            f"Fees came to {plain(money.income / MINOR)}, costs to {plain(money.costs / MINOR)}"
            f" {season.kitchen.currency}: a {more} of {plain(abs(money.surplus) / MINOR)}; a"
            f" rack-hour cost {(money.cost_per_rack_hour or 0) / MINOR:.2f}."
        )


def _why(weeks: Sequence[WeekBar], rules: Sequence[RuleBar]) -> str:
    """What kept lots out, and in which weeks."""
    total = sum(each.kg for each in rules)
    if not total:
        return "Nothing was refused and nothing had to wait."
    first = next((each for each in rules if each.rule is not None), None)
    told = "Why was not looked for."
    if first:
        share = percent(first.kg / total)
        told = (
            f"{share} of what had no place was kept out by {first.name.lower()} ({first.plainly})."
        )
    if len(weeks) > 1:
        few = _busiest(weeks, total)
        told += f" At least half of it fell into {count(len(few), 'week')} ({listed(few)})."
    return told


def _busiest(weeks: Sequence[WeekBar], total: float) -> list[str]:
    """The fewest weeks that have half of what had no place."""
    few, so_far = [], 0.0
    for week in sorted(weeks, key=lambda each: -each.refused_kg):
        if so_far * 2 >= total:
            break
        few.append(week.name)
        so_far += week.refused_kg
    return sorted(few)


def _racks(season: Season, rules: Sequence[RuleBar]) -> Iterator[str]:
    found = crowded(season)
    if found:
        yield crowd_in_words(found, sum(each.kg for each in rules if each.rule == RACKS))


def _lost(figure: dict[str, Figure]) -> Iterator[str]:
    again, lost, down = figure["again"], figure["discarded"], figure["down"]
    told = []
    if again.denominator:
        told.append(
            f"{again.numerator} of {count(again.denominator, 'lot')} were held at a dry check;"
            f" {plain(lost.shown_numerator, decimals=1)} kg of dried food were discarded."
        )
    if down.numerator:
        told.append(f"Stops took {plain(down.shown_numerator)} dryer-hours.")
    if told:
        yield " ".join(told)
