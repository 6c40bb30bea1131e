"""Measured lay-outs as tables: how good and how soon, and what each rule costs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from rich.table import Table

from scheduler.units import kg
from scheduler.wording import percent, plain, weight

if TYPE_CHECKING:
    from scheduler.bench import Outcome, RuleCost
    from scheduler.kitchen_suites import Mended


def bench_table(outcomes: Sequence[Outcome]) -> Table:
    """A line a case; gaps after so many seconds and at the end."""
    seconds = sorted({at for outcome in outcomes for at in outcome.gaps})
    gaps = [f"{at} s" for at in seconds] + ["end"]
    table = _table("case", "notes", "first", "worth", "bound", f"gap {gaps[0]}", *gaps[1:])
    for heading in ("whiteboard", "times", "faults", "seed"):
        table.add_column(heading, justify="right")
    for outcome in outcomes:
        table.add_row(*_cells(outcome, seconds))
    table.caption = (
        "first: seconds to the first plan; worth, bound, whiteboard: prepared kg; "
        "times: worth over whiteboard"
    )
    return table


def _table(*headings: str) -> Table:
    """Names to the left, figures to the right."""
    table = Table(box=None, pad_edge=False, padding=(0, 1, 0, 0), caption_justify="left")
    for place, heading in enumerate(headings):
        table.add_column(heading, justify="right" if place else "left", no_wrap=True)
    return table


def _cells(outcome: Outcome, seconds: Sequence[int]) -> list[str]:
    proof, times = outcome.proof, outcome.over_whiteboard
    return [
        outcome.name,
        str(outcome.notes),
        plain(outcome.first_plan_s, decimals=1),
        plain(kg(proof.worth_g)),
        plain(kg(proof.bound_g)),
        *(percent(outcome.gaps[at]) if at in outcome.gaps else "" for at in seconds),
        percent(proof.gap),
        plain(kg(proof.whiteboard_g)),
        "" if times is None else f"{times:.2f}",
        str(len(outcome.faults)),
        str(outcome.seed),
    ]


def costs_table(costs: Sequence[RuleCost]) -> Table:
    """All rules first, then a line for each rule left out; in prepared kg."""
    table = _table(
        "rules", "worth", "bound", "gap", "gained", "costs at least", "at most", "faults"
    )
    for full in [cost.full for cost in costs[:1]]:
        table.title = full.name
        table.add_row(*_first_cells(full), "", "", "", str(len(full.faults)))
    for cost in costs:
        amounts = (cost.gained_g, cost.least_g, cost.most_g)
        without = cost.without
        table.add_row(*_first_cells(without), *map(weight, amounts), str(len(without.faults)))
    return table


def _first_cells(outcome: Outcome) -> list[str]:
    proof = outcome.proof
    return [outcome.rules, weight(proof.worth_g), weight(proof.bound_g), percent(proof.gap)]


def mends_table(mends: Sequence[Mended]) -> Table:
    """A line a stop; in prepared kg."""
    table = _table(
        "case", "drop only", "small", "s", "proposed", "afresh", "below", "moved", "avoidable", "s"
    )
    for each in mends:
        table.add_row(
            each.name,
            plain(each.drop_only_kg),
            plain(each.small_kg),
            plain(each.small_s, decimals=1),
            plain(each.proposed_kg),
            plain(each.afresh_kg),
            percent(each.below_afresh),
            str(each.moved),
            str(each.avoidable),
            plain(each.wall_s, decimals=1),
        )
    table.caption = "afresh: laid out anew beside what has begun; below: proposed below afresh"
    return table


def medians_line(of_all: Mapping[str, Any]) -> str:
    """Medians of a suite on one line."""
    told = []
    for name, value in of_all.items():
        pairs = value.items() if isinstance(value, dict) else [("", value)]
        told += [f"{f'{name} {at}'.strip().replace('_', ' ')} {each:.4g}" for at, each in pairs]
    return "Medians: " + ", ".join(told)
