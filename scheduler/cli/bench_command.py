"""The command bench: how good the plans are and how soon, measured on this machine."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer
from rich.console import Console

from scheduler import bench
from scheduler.cli.commands import SecondsLimit, Seed, WorkLimit, app, limits_from
from scheduler.cli.plainly import EXIT_CODES, plainly
from scheduler.domain.asked import Asked
from scheduler.scenario import load
from scheduler.terminal.benches import bench_table, costs_table

if TYPE_CHECKING:
    from scheduler.planning import Progress

JsonPath = Annotated[
    Path | None, typer.Option("--json", help="Write the figures there as well.", show_default=False)
]


@app.command("bench", epilog=EXIT_CODES)
def bench_command(  # noqa: PLR0913, PLR0917 the options of a command are its arguments
    scenarios: Annotated[str, typer.Option(help="Names, with commas between.")] = "august,glut",
    weeks: Annotated[int, typer.Option(help="Invented weeks, 25 lots and 5 dryers.", min=0)] = 1,
    peaks: Annotated[int, typer.Option(help="Peak weeks, 60 lots and 8 dryers.", min=0)] = 1,
    rule_costs: Annotated[
        str, typer.Option(help="Instead: what each rule costs in that scenario.")
    ] = "",
    seconds: SecondsLimit = 60,
    work: WorkLimit = None,
    seed: Seed = 1,
    json_path: JsonPath = None,
) -> None:
    """Lay out several weeks and tell the seconds to a first plan, and the gap as time goes on.

    Examples: commonrack bench --seconds 30; commonrack bench --rule-costs august --seconds 20
    """
    console = Console(highlight=False)
    with plainly():
        limits = limits_from(None if work else seconds, work, seed=seed)
        if rule_costs:
            costs = list(bench.rule_costs(load(rule_costs), limits, _telling(console)))
            console.print(costs_table(costs))
            figures: list[dict[str, Any]] = [bench.cost_json(cost) for cost in costs]
        else:
            names = [name for name in scenarios.split(",") if name]
            cases = bench.suite(names, weeks=weeks, peaks=peaks, seed=seed)
            outcomes = list(bench.run(cases, limits, _telling(console)))
            console.print(bench_table(outcomes))
            figures = [bench.outcome_json(outcome) for outcome in outcomes]
        if json_path:
            json_path.write_text(f"{json.dumps(figures, indent=1)}\n", encoding="utf-8")


def _telling(console: Console) -> bench.Tell:
    """A line for each case as it begins."""
    begun: list[str] = []

    def tell(asked: Asked, progress: Progress) -> None:
        if not begun or begun[-1] != asked.name or progress.seconds < begun_at[-1]:
            begun.append(asked.name)
            console.print(f"laying out {asked.name} ...")
        begun_at.append(progress.seconds)

    begun_at: list[float] = [0.0]
    return tell
