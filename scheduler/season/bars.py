"""The board paper's pictures as numbers: weeks, members, and the rules that kept lots out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from scheduler.domain.rules import PLAINLY, TITLES
from scheduler.season import counts
from scheduler.season.figures import refused_by_rule
from scheduler.season.records import Season
from scheduler.season.turns import MemberLine
from scheduler.units import HOUR


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
    """Field kg that a rule kept out; None where it was not looked for which. plainly: what that
    comes to, "" for None."""

    name: str
    kg: float
    rule: int | None
    plainly: str = ""


def week_bars(season: Season) -> Iterator[WeekBar]:
    for week in season.weeks:
        left = sum(grams for _, grams, _ in counts.waiting(week))
        asked = sum(note.field_g for note in week.notes())
        yield WeekBar(
            name=f"W{week.week.number:02d}",
            loaded=sum(each.rack_s for each in week.ran) / HOUR,
            open=counts.rack_open_s(season, week) / HOUR,
            placed_kg=(asked - left) / 1000,
            refused_kg=left / 1000,
        )


def member_bars(season: Season, lines: Sequence[MemberLine]) -> Iterator[MemberBar]:
    used, shares = sum(each.rack_s for each in lines), sum(each.shares for each in lines)
    for each in lines:
        yield MemberBar(
            name=each.grower_id,
            rack_hours=each.rack_s / HOUR,
            used=each.rack_s / used if used else 0.0,
            shares=each.shares / shares if shares else 0.0,
        )


def rule_bars(season: Season) -> Iterator[RuleBar]:
    for rule, grams in refused_by_rule(season).items():
        if rule is None:
            yield RuleBar("Not looked for", grams / 1000, None)
        else:
            yield RuleBar(TITLES[rule], grams / 1000, rule, PLAINLY[rule])
