"""The command shake: how often each turn of a plan holds."""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console

from scheduler.cli.commands import PlanPath, Seed, app
from scheduler.cli.plainly import EXIT_CODES, plainly
from scheduler.plan_file import read_plan
from scheduler.shake import Shaken, shaken
from scheduler.terminal.shaking import shaken_text


@app.command("shake", epilog=EXIT_CODES)
def shake_command(
    plan: PlanPath,
    times: Annotated[int, typer.Option(help="Replays.", min=1, max=100_000)] = 1000,
    seed: Seed = 1,
    json_path: Annotated[
        Path | None,
        typer.Option("--json", help="Write the figures there as well.", show_default=False),
    ] = None,
) -> None:
    """Replay a plan with hours, weights and arrivals that are not as planned.

    Told: how often each turn holds, and which hour more would help most.
    Example: commonrack shake august-plan/plan.json
    """
    console = Console(highlight=False)
    with plainly():
        given = read_plan(plan)
        found = shaken(given.asked, given.plan, times=times, seed=seed)
        for part in shaken_text(found, given.asked.kitchen.zone):
            console.print(part, soft_wrap=True)
        if json_path:
            text = json.dumps(_figures(found), indent=1, default=str)
            json_path.write_text(f"{text}\n", encoding="utf-8")


def _figures(found: Shaken) -> dict[str, object]:
    return asdict(found) | {"holding": found.holding, "sources": found.spread.sources}
