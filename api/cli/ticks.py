"""ticks, tick: what of a day is done, and ticking it off."""

from __future__ import annotations

from typing import Annotated

import typer

from api.cli.desk import By, app, day_named, moment_named, the_desk
from api.services.day_to_tick import LineToTick, day_to_tick
from api.services.ticking import Tick, just_tick
from scheduler.wording import clock

DayNamed = Annotated[str, typer.Argument(metavar="DAY", help="A day: 2026-08-18.")]


@app.command("ticks")
def ticks_command(day: DayNamed, by: By = None) -> None:
    """Every line of a day's sheet by its name, and by whom and when it was done."""
    with the_desk(by) as desk, desk.reading() as (book, doing):
        found = day_to_tick(book, doing, day_named(day, "DAY"))
        zone = found.kept.asked.kitchen.zone
        for each in found.lines:
            dones = (each.done, *each.loads)
            told = [f"{done.by} {clock(done.at.astimezone(zone))}" for done in dones if done]
            typer.echo(f"{_mark(each)} {each.line.at:%H:%M} {each.key}  {', '.join(told)}".rstrip())


def _mark(each: LineToTick) -> str:
    return "x" if each.is_done else "-"


@app.command("tick")
def tick_command(
    day: DayNamed,
    line: Annotated[str, typer.Argument(metavar="LINE", help='Its name: "wash R03 W1".')],
    load: Annotated[int | None, typer.Option(help="Which basket of a steam line.", min=1)] = None,
    back: Annotated[bool, typer.Option("--back", help="It was not done after all.")] = False,
    at: Annotated[
        str | None, typer.Option("--at", help="When, by the kitchen's clock; now, if not said.")
    ] = None,
    by: By = None,
) -> None:
    """Tick off what is nothing but ticked: wash, cut, steam, chill, fill, wash-down.

    Example: commonrack tick 2026-08-18 "wash R03 W1"
    """
    with the_desk(by) as desk, desk.writing() as (book, doing):
        when = moment_named(book, at, "--at") if at else doing.at
        said = Tick(line, when, load or 0)
        just_tick(book, doing, day_named(day, "DAY"), said, done=not back)
    typer.echo(f"{line}: {'not done' if back else 'done'}.")
