"""The board paper's figures for other programs: numerator, denominator, period and definition."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from scheduler.season.definitions import Unit
from scheduler.season.figures import shown
from scheduler.season.paper import Option, Paper
from scheduler.units import HOUR

GRAMS = 1000
Units = tuple[Unit, Unit] | None  # of what is divided, by what; None for bare numbers


def board_json(paper: Paper) -> dict[str, Any]:
    """JSON values. Amounts are whole: seconds of the unit, grams, Wh, minor units, pieces; a share
    is in the units named: money for each rack-hour."""
    season = paper.season
    return {
        "kitchen": season.kitchen.name,
        "from": season.first.isoformat(),
        "to": season.last.isoformat(),
        "weeks": [str(week.week) for week in season.weeks],
        "invented": season.invented,
        "seed": season.seed,
        "notes": [*paper.known, *([paper.counted] if paper.counted else [])],
        "summary": list(paper.summary),
        "asked": paper.asked.question if paper.asked else "",
        "figures": [*_measures(paper), *_rules(paper), *_members(paper), *_money(paper)],
        "suppose": [_supposed(paper, each) for each in paper.options],
    }


def _supposed(paper: Paper, option: Option) -> dict[str, Any]:
    figure = _figure(
        paper, option.name, (option.saved_g, option.without_g), units=("kg", "kg"),
        definition="prepared weight that the change places more / placed without it by as long a"
        " search, over the weeks; mean of the tries",
    )  # fmt: skip
    return {
        **figure, "what": option.says, "saved_kg": option.saved_g / GRAMS,
        "give_or_take_kg": option.off_kg, "cost": option.price, "running_cost": option.running,
        "for_a_kg": option.a_kg,
        "how_sure": option.sure, "binds_then": option.binds,
        "kg_more": {who: grams / GRAMS for who, grams in option.gained} if paper.named else {},
    }  # fmt: skip


def _measures(paper: Paper) -> Iterator[dict[str, Any]]:
    for each in paper.figures:
        what = each.definition
        yield {
            "name": what.name,
            "numerator": each.numerator,
            "denominator": each.denominator,
            "unit": what.unit,
            "of": what.of,
            "share": each.share,
            "from": each.period.start.isoformat(),
            "to": each.period.end.isoformat(),
            "definition": f"{what.numerator} / {what.denominator}. {what.meaning}",
            "footnote": what.footnote,
        }


def _figure(
    paper: Paper, name: str, pair: tuple[int, int], *, units: Units, definition: str
) -> dict[str, Any]:
    span = paper.season.span
    part, whole = pair
    return {
        "name": name,
        "numerator": part,
        "denominator": whole,
        "unit": units[0] if units else "",
        "of": units[1] if units else "",
        "share": _share(pair, units),
        "from": span.start.isoformat(),
        "to": span.end.isoformat(),
        "definition": definition,
        "footnote": "",
    }


def _share(pair: tuple[int, int], units: Units) -> float:
    part, whole = pair
    if not whole:
        return 0.0
    return shown(part, units[0]) / shown(whole, units[1]) if units else part / whole


def _rules(paper: Paper) -> Iterator[dict[str, Any]]:
    grams = [round(each.kg * 1000) for each in paper.rules]
    for each, part in zip(paper.rules, grams, strict=True):
        rule = f" (rule {each.rule}: {each.plainly})" if each.rule else ""
        yield _figure(
            paper, f"Without a place: {each.name}{rule}", (part, sum(grams)), units=("kg", "kg"),
            definition="field weight refused or waiting that the rule costs / all of it",
        )  # fmt: skip


def _members(paper: Paper) -> Iterator[dict[str, Any]]:
    used = sum(each.rack_s for each in paper.lines)
    for each in paper.lines if paper.named else ():
        yield _figure(
            paper, f"Rack-hours of {each.grower_id}", (each.rack_s, used),
            units=("rack-hours", "rack-hours"),
            definition="the member's loaded rack-hours / those of all",
        )  # fmt: skip
    if paper.spread:
        for name, ratio, what in (
            ("Largest to middle", paper.spread.to_middle, "most rack-hours a share / the median"),
            (
                "Gini",
                paper.spread.gini,
                "mean distance of two members drawn by lot / twice the mean",
            ),
        ):
            pair = (ratio.numerator, ratio.denominator)
            yield _figure(paper, name, pair, units=None, definition=what)


def _money(paper: Paper) -> Iterator[dict[str, Any]]:
    loaded = paper.figure("rack_use").numerator
    units: Units = ("money", "rack-hours")
    yield _figure(
        paper, "Fees for each rack-hour", (paper.money.income, loaded), units=units,
        definition=f"fees in minor units / loaded rack-seconds ({HOUR} to the hour)",
    )  # fmt: skip
    if paper.money.costs is not None:
        yield _figure(
            paper, "Costs for each rack-hour", (paper.money.costs, loaded), units=units,
            definition=f"costs in minor units / loaded rack-seconds ({HOUR} to the hour)",
        )  # fmt: skip
