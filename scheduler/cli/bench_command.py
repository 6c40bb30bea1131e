"""The command bench: how good the plans are and how soon, measured on this machine."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from dataclasses import replace
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
from scheduler.cli.plainly import BREAKS_A_RULE, EXIT_CODES, plainly, tell
from scheduler.cli.race_suites import SuiteName, Told, of_the_kitchen, raced
from scheduler.errors import BadInput, InputFault
from scheduler.kitchen_suites import KitchenSuite
from scheduler.races import Effort
from scheduler.scenario import load
from scheduler.terminal.benches import bench_table, costs_table

if TYPE_CHECKING:
    from scheduler.planning import Limits, Progress

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
    suite: Annotated[
        SuiteName | None,
        typer.Option(
            help="Instead: five seeds of one suite of the kitchen (scale: one seed in many sizes), "
            "or a race on published instances, each result judged by a referee.",
            show_default=False,
        ),
    ] = None,
    instances: Annotated[
        str, typer.Option(help="With a race: files or folders of instances, commas between.")
    ] = "",
    workers: Annotated[int, typer.Option(help="With --suite: workers at a time.", min=1)] = 2,
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

    Examples: commonrack bench --seconds 30; commonrack bench --rule-costs august --seconds 20;
    commonrack bench --suite flowshop --instances folder --seconds 60 --json race.json
    """
    console = Console(highlight=False)
    with plainly():
        given = seconds if seconds or work else BENCH_SECONDS
        limits = limits_from(given, work, seed=seed)
        if suite is not None:
            limits = replace(limits, workers=workers)
            told, objections = _suite(suite.value, instances, limits, console)
            if json_path:
                _write(json_path, told)
            _tell_objections(objections)
            return
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


def _suite(name: str, instances: str, limits: Limits, console: Console) -> Told:
    if name in set(KitchenSuite):
        return of_the_kitchen(name, limits, console)
    if limits.seconds is None:
        message = "a race is run by the clock; give --seconds"
        raise BadInput((InputFault("--work", None, None, message),))
    effort = Effort(limits.seconds, limits.workers, limits.seed)
    return raced(name, instances, effort, console)


def _tell_objections(objections: tuple[str, ...]) -> None:
    for each in objections:
        tell(each)
    if objections:
        raise typer.Exit(BREAKS_A_RULE)


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


def _write(path: Path, figures: Any) -> None:
    path.write_text(f"{json.dumps(figures, indent=1)}\n", encoding="utf-8")
