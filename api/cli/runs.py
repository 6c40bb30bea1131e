"""start, end, unload, dry-check: what happens at the dryers and after them."""

from __future__ import annotations

import re
from typing import Annotated

import typer

from api.cli.desk import By, app, moment_named, the_desk
from api.services import lots, runs
from api.services.dry_checks import Check, dry_check
from api.services.errors import NotNow
from api.services.house import zone_of
from api.services.notes import week_of
from api.services.ports import Book
from api.services.roles import Doing
from api.services.runs import KeptRun, Start
from scheduler.domain.outage import StartedCharge
from scheduler.errors import BadInput, InputFault
from scheduler.process.dry_check import Decision, Reading
from scheduler.units import Racks
from scheduler.wording import clock_from, listed

Dryer = Annotated[str, typer.Argument(metavar="DRYER", help="Its id: D1.")]
At = Annotated[
    str | None, typer.Option("--at", help="When, by the kitchen's clock; now, if not said.")
]
_RACKS = re.compile(r"([^\s:]+):(\d{1,4})")
_READING = re.compile(r"(\d{1,4}):([01](?:\.\d+)?):(\d{1,3}(?:\.\d+)?)")


@app.command("start")
def start_command(
    dryer: Dryer,
    racks: Annotated[
        list[str] | None, typer.Option(help="Racks of a note, if not as posted: N27:12.")
    ] = None,
    ends: Annotated[str | None, typer.Option(help="End of drying: 2026-08-19T02:15.")] = None,
    celsius: Annotated[float | None, typer.Option(help="Set point.", min=0, max=200)] = None,
    at: At = None,
    by: By = None,
) -> None:
    """A run has started: the next that the posted plan has for that dryer, or what is said.

    Example: commonrack start D1
    """
    with the_desk(by) as desk, desk.writing() as (book, doing):
        ending = moment_named(book, ends, "--ends") if ends else None
        began = moment_named(book, at, "--at") if at else doing.at
        charges = tuple(_on_racks(each) for each in racks or ())
        kept = runs.start(book, doing, Start(dryer, began, celsius, ending, charges))
        end = kept.run.end.astimezone(zone_of(book))
        start = kept.run.start.astimezone(zone_of(book))
    told = listed(f"{each.note_id} ({each.racks})" for each in kept.run.charges)
    typer.echo(f"Run {kept.number} in {dryer}: {told}, until {clock_from(end, start.date())}.")


def _on_racks(text: str) -> StartedCharge:
    found = _RACKS.fullmatch(text)
    if found is None:
        raise _bad("--racks", f"{text!r} is not a note and its racks; write it like N27:12")
    return StartedCharge(found[1], Racks(int(found[2])))


@app.command("end")
def end_command(dryer: Dryer, at: At = None, by: By = None) -> None:
    """Drying has ended in that dryer, earlier or later than planned."""
    with the_desk(by) as desk, desk.writing() as (book, doing):
        ended = moment_named(book, at, "--at") if at else doing.at
        found = _last(book, doing, dryer)
        runs.end(book, doing, found.number, ended)
    typer.echo(f"Run {found.number} in {dryer} has ended.")


@app.command("unload")
def unload_command(dryer: Dryer, at: At = None, by: By = None) -> None:
    """The racks of that dryer's run are out."""
    with the_desk(by) as desk, desk.writing() as (book, doing):
        when = moment_named(book, at, "--at") if at else doing.at
        found = _last(book, doing, dryer)
        runs.unload(book, doing, found.number, when)
    typer.echo(f"Run {found.number} in {dryer} is unloaded.")


def _last(book: Book, doing: Doing, dryer: str) -> KeptRun:
    """The run of this week that is in that dryer."""
    found = runs.runs(book, doing, week=week_of(book, doing.at))
    held = [each for each in found if each.run.dryer_id == dryer and each.unloaded is None]
    if not held:
        raise NotNow(f"no run in {dryer} is on record this week that is not unloaded")
    return held[-1]


@app.command("dry-check")
def dry_check_command(
    lot: Annotated[str, typer.Argument(metavar="LOT", help="Its code: 26-231-G01-TOM.")],
    decision: Annotated[Decision, typer.Option(help="What the person named decided.")],
    decided_by: Annotated[str, typer.Option(help="Who decided.")],
    reading: Annotated[
        list[str], typer.Option(help="Rack, water activity, moisture in percent: 3:0.52:9.1.")
    ],
    run: Annotated[int | None, typer.Option(help="Of which run, if not the last.", min=1)] = None,
    by: By = None,
) -> None:
    """Keep the readings of a dry check and the decision on them. The worst rack decides.

    Example: commonrack dry-check 26-231-G01-TOM --reading 1:0.51:8.5 --reading 9:0.5:8
    --reading 20:0.53:9 --decision pass --decided-by "Lotte Amberry"
    """
    with the_desk(by) as desk, desk.writing() as (book, doing):
        check = Check(tuple(map(_reading, reading)), decision, decided_by, run)
        version = lots.lot(book, doing, lot).version
        checked = dry_check(book, doing, lot, version=version, check=check)
    reasons = f" ({'; '.join(checked.counted.reasons)})" if checked.counted.reasons else ""
    typer.echo(f"{lot} is {checked.lot.state}; counted: {checked.counted.decision}{reasons}.")


def _reading(text: str) -> Reading:
    found = _READING.fullmatch(text)
    if found is None:
        raise _bad("--reading", f"{text!r} is no reading; write it like 3:0.52:9.1")
    return Reading(int(found[1]), float(found[2]), float(found[3]))


def _bad(field: str, message: str) -> BadInput:
    return BadInput((InputFault(field, None, None, message),))
