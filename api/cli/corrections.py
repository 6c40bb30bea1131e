"""correct and correct-run: what was written down by mistake, with one more record."""

from __future__ import annotations

from typing import Annotated

import typer

from api.cli.acts import LotCode
from api.cli.desk import By, app, moment_named, the_desk
from api.services import corrections, lots
from api.services.corrections import Right
from scheduler.units import grams

Why = Annotated[str, typer.Option(help="Why it was wrong.")]


@app.command("correct")
def correct_command(
    lot: LotCode,
    why: Why,
    kg: Annotated[float | None, typer.Option(help="The true weight.", min=0.001)] = None,
    bags: Annotated[int | None, typer.Option(help="The true number of bags.", min=0)] = None,
    by: By = None,
) -> None:
    """The weight of a lot that is whole still, or the bags of a packed one. The first entry stays.

    Example: commonrack correct 26-231-G01-TOM --kg 58 --why "two digits changed places"
    """
    with the_desk(by) as desk, desk.writing() as (book, doing):
        version = lots.lot(book, doing, lot).version
        right = Right(None if kg is None else grams(kg), bags)
        done = corrections.correct_lot(book, doing, lot, version=version, right=right, why=why)
    typer.echo(f"{done.code} is corrected; it is {done.state}.")


@app.command("correct-run")
def correct_run_command(
    number: Annotated[int, typer.Argument(metavar="RUN", help="Its number.", min=1)],
    why: Why,
    started: Annotated[str | None, typer.Option(help="When it started: 2026-08-18T11:15.")] = None,
    ended: Annotated[str | None, typer.Option(help="When it ended: 2026-08-19T02:15.")] = None,
    unloaded: Annotated[str | None, typer.Option(help="When it was unloaded.")] = None,
    by: By = None,
) -> None:
    """When a run started, ended or was unloaded in truth. The first entry stays."""
    with the_desk(by) as desk, desk.writing() as (book, doing):
        right = corrections.RightTimes(
            moment_named(book, started, "--started") if started else None,
            moment_named(book, ended, "--ended") if ended else None,
            moment_named(book, unloaded, "--unloaded") if unloaded else None,
        )
        corrections.correct_run(book, doing, number, right=right, why=why)
    typer.echo(f"Run {number} is corrected.")
