"""places, place, later, offers: one lot anew, beside all else that is posted."""

from __future__ import annotations

from typing import Annotated
from zoneinfo import ZoneInfo

import typer

from api.cli.desk import By, WeekArgument, app, moment_named, the_desk, week_named
from api.services import places
from api.services.house import zone_of
from api.services.notes import note
from api.services.places import Ways
from scheduler.answer.again import KINDS, Kind, Place
from scheduler.errors import BadInput, InputFault
from scheduler.wording import count, weight

Note = Annotated[str, typer.Argument(metavar="NOTE", help="Its name: G01-7.")]


@app.command("places")
def places_command(name: Note, by: By = None) -> None:
    """Whether a note's posted turn holds, as weighed or told by now; else the ways it has."""
    with the_desk(by) as desk, desk.reading() as (book, doing):
        zone = zone_of(book)
        found = places.ways(book, doing, name)
    typer.echo(_told(found, zone))


@app.command("place")
def place_command(
    name: Note,
    kind: Annotated[str, typer.Argument(metavar="KIND", help=f"One of: {', '.join(KINDS)}.")],
    by: By = None,
) -> None:
    """Post that way: nobody else is moved, and its grower hears of it."""
    with the_desk(by) as desk, desk.writing() as (book, doing):
        done = places.take(book, doing, name, _kind(kind))
    typer.echo(f"Plan {done.kept.number} is posted.")
    for each in done.messages:
        typer.echo(f"To {each.grower_id}: {each.text}")


@app.command("later")
def later_command(
    name: Note,
    arrives: Annotated[str, typer.Argument(help="When it comes: 2026-08-19T08:00.")],
    kind: Annotated[
        str | None, typer.Option(help=f"The way it takes: {', '.join(KINDS)}, or none.")
    ] = None,
    by: By = None,
) -> None:
    """A harvest comes at another time. Without --kind it is only told what it would have.

    Example: commonrack later R09 2026-08-19T08:00 --kind "other run"
    """
    with the_desk(by) as desk:
        with desk.reading() as (book, _):
            at, zone = moment_named(book, arrives, "ARRIVES"), zone_of(book)
        if kind is None:
            with desk.rehearsing() as (book, doing):
                version = note(book, doing, name).version
                found = places.look_later(book, doing, name, version=version, arrives=at)
            typer.echo(_told(found, zone))
            return
        chosen = None if kind == "none" else _kind(kind)
        with desk.writing() as (book, doing):
            version = note(book, doing, name).version
            entry = places.comes_later(book, doing, name, version=version, arrives=at, kind=chosen)
    typer.echo(
        f"{name} comes {entry.arrives.astimezone(zone):%a %d %b %H:%M}; it is {entry.state}."
    )


@app.command("offers")
def offers_command(week: WeekArgument, by: By = None) -> None:
    """Who waits and would have a place beside all that is posted, in order of turn."""
    with the_desk(by) as desk, desk.reading() as (book, doing):
        zone = zone_of(book)
        found = places.offers(book, doing, week_named(week))
    lines = [
        f"{each.turn}. {each.entry.id} ({each.entry.grower_id}): {_place(each.place, zone)}"
        for each in found
    ]
    typer.echo("\n".join(lines) or "There is room for nobody who waits.")


def _told(found: Ways, zone: ZoneInfo) -> str:
    if found.holds:
        return f"{found.entry.id}: its turn holds."
    if found.broken:
        return "The posted plan no longer holds by itself: the week is to be mended."
    if not found.places:
        return f"{found.entry.id} has no place without moving others. {found.why}"
    return "\n".join(f"{each.kind}: {_place(each, zone)}" for each in found.places)


def _place(place: Place, zone: ZoneInfo) -> str:
    charges = (
        f"{count(charge.racks, 'rack')} in {run.dryer_id},"
        f" {run.start.astimezone(zone):%a %H:%M} to {run.end.astimezone(zone):%a %H:%M}"
        for run, charge in place.charges()
    )
    rest = f"; {weight(place.rest.field_g)} waits" if place.rest else ""
    return "; ".join(charges) + rest


def _kind(text: str) -> Kind:
    for each in KINDS:
        if each == text:
            return each
    raise BadInput((InputFault("KIND", None, None, f"is none of: {', '.join(KINDS)}"),))
