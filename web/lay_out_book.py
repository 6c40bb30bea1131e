"""lay-out-week: laying out a week of the book at the command line."""

from __future__ import annotations

from typing import Annotated

import typer
from rich.console import Console

from api.cli.desk import By, WeekArgument, app, the_desk, week_named
from api.services.lay_outs import keep_laid_out, to_lay_out
from scheduler.cli.commands import Seed, limits_from, tell_faults
from scheduler.cli.live import lay_out_live
from scheduler.domain.rules import FULL
from scheduler.terminal import week_text


@app.command("lay-out-week")
def lay_out_week_command(
    week: WeekArgument,
    seconds: Annotated[float, typer.Option(help="How long to look for better.", min=1)] = 15,
    seed: Seed = 1,
    by: By = None,
) -> None:
    """Lay out a week of the book, keep the plan pencilled, print it. To make it firm: post.

    Example: commonrack lay-out-week 2026-W34 --seconds 60
    """
    console = Console(highlight=False)
    with the_desk(by) as desk:
        with desk.reading() as (book, doing):
            wanted = to_lay_out(book, doing, week_named(week))
        laid_out = lay_out_live(
            wanted.asked, FULL, limits_from(seconds, None, seed=seed), console=console
        )
        with desk.writing() as (book, doing):
            number = keep_laid_out(book, wanted, laid_out.plan, at=doing.at)
        console.print(week_text(wanted.asked, laid_out.plan))
        console.print(f"\nIt is plan {number}, pencilled. To post it: commonrack post {week}")
    tell_faults(laid_out.faults)
