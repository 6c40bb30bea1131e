"""The command bench: how good the plans are and how soon, measured on this machine."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, TypeVar

import typer
from rich.console import Console, Group
from rich.live import Live
from rich.table import Table
from rich.text import Text

from scheduler import bench
from scheduler.cli.commands import Seed, WorkLimit, app, limits_from, tell_faults
from scheduler.cli.live import says
from scheduler.cli.plainly import EXIT_CODES, plainly
from scheduler.scenario import load
from scheduler.terminal.benches import bench_table, costs_table

if TYPE_CHECKING:
    from scheduler.planning import Progress

BENCH_SECONDS = 60.0
Measured = TypeVar("Measured")


@app.command("bench", epilog=EXIT_CODES)
def bench_command(  # noqa: PLR0913, PLR0917 the options of a command are its arguments
    scenarios: Annotated[str, typer.Option(help="Names, with commas between.")] = "august,glut",
    weeks: Annotated[int, typer.Option(help="Invented weeks, 25 lots and 5 dryers.", min=0)] = 1,
    peaks: Annotated[int, typer.Option(help="Peak weeks, 60 lots and 8 dryers.", min=0)] = 1,
    rule_costs: Annotated[
        str, typer.Option(help="Instead: what each rule costs in that scenario.")
    ] = "",
    seconds: Annotated[
        float | None,
        typer.Option(
            help="Seconds for each lay-out (60 if nothing else is said).", min=1, show_default=False
        ),
    ] = None,
    work: WorkLimit = None,
    seed: Seed = 1,
    json_path: Annotated[
        Path | None,
        typer.Option("--json", help="Write the figures there as well.", show_default=False),
    ] = None,
) -> None:
    """Lay out several weeks and tell the seconds to a first plan, and the gap as time goes on.

    Examples: commonrack bench --seconds 30; commonrack bench --rule-costs august --seconds 20
    """
    console = Console(highlight=False)
    with plainly():
        given = seconds if seconds or work else BENCH_SECONDS
        limits = limits_from(given, work, seed=seed)
        if rule_costs:
            asked = load(rule_costs)
            costs = _live(console, costs_table, lambda tell: bench.rule_costs(asked, limits, tell))
            outcomes = [each.full for each in costs[:1]] + [each.without for each in costs]
            figures = bench.costs_json(costs)
        else:
            names = [name.strip() for name in scenarios.split(",") if name.strip()]
            cases = tuple(bench.suite(names, weeks=weeks, peaks=peaks, seed=seed))
            outcomes = _live(console, bench_table, lambda tell: bench.run(cases, limits, tell))
            figures = [bench.outcome_json(outcome) for outcome in outcomes]
        if json_path:
            _write(json_path, figures)
    tell_faults(tuple(fault for outcome in outcomes for fault in outcome.faults))


def _live(
    console: Console,
    table: Callable[[list[Measured]], Table],
    measure: Callable[[bench.Tell], Iterable[Measured]],
) -> list[Measured]:
    """All that is measured, the table growing with it and a line under it for what is laid out."""
    done: list[Measured] = []
    with Live(console=console, transient=True, refresh_per_second=4) as line:

        def tell(name: str, progress: Progress) -> None:
            now = Text(f"Laying out {name}: {says(progress)} (Ctrl-C ends the bench)")
            line.update(Group(table(done), now) if done else now)

        for each in measure(tell):
            done.append(each)
    console.print(table(done))
    return done


def _write(path: Path, figures: list[dict[str, Any]]) -> None:
    path.write_text(f"{json.dumps(figures, indent=1)}\n", encoding="utf-8")
