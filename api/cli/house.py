"""kitchen, caps, growers, grower: what the kitchen is, who its members are, and changing it."""

from __future__ import annotations

from typing import Annotated, Any, TypeVar

import typer
from pydantic import ValidationError

from api.cli.acts import print_caps
from api.cli.desk import By, app, print_listed, the_desk
from api.schemas.body import Wanted
from api.schemas.house import GrowerChange, KitchenChange
from api.services import changing, house
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from scheduler.domain.kitchen import Kitchen, OnCall
from scheduler.errors import BadInput, InputFault
from scheduler.scenario.hours import DAYS, as_written, weekday
from scheduler.wording import count

Several = list[str] | None
Change = TypeVar("Change", bound=Wanted)


@app.command("kitchen")
def kitchen_command(
    staffed: Annotated[str | None, typer.Option(help="Staffed hours by the week.")] = None,
    shift: Annotated[Several, typer.Option(help="Of a hand: Jun Ferrow: Mon,Fri 07:00-19:00")] = (
        None
    ),
    on_call: Annotated[Several, typer.Option(help="Of a night: Mon: Sal Orrin, 555-0102")] = None,
    closed: Annotated[Several, typer.Option(help="All the days on which it is closed.")] = None,
    by: By = None,
) -> None:
    """Print the kitchen's settings, or change what is named. Then lay out again.

    Example: commonrack kitchen --staffed "Mon-Fri 07:00-18:00; Sat 07:00-13:00"
    """
    told: dict[str, Any] = {"staffed": staffed, "closures": closed}
    with the_desk(by) as desk, desk.writing() as (book, doing):
        told["shifts"] = dict(_parted(each, "--shift") for each in shift or ()) or None
        found = _changed(book, doing, told, on_call or [])
    _print(found)


@app.command("caps")
def caps_command(
    turns_a_month: Annotated[int | None, typer.Option(help="Of a grower at most.")] = None,
    standing_percent: Annotated[int | None, typer.Option(help="Of standing lots at most.")] = None,
    by: By = None,
) -> None:
    """Print what the members voted (rule 16), or change it.

    Example: commonrack caps --turns-a-month 8
    """
    told = {"turns_a_month": turns_a_month, "standing_percent": standing_percent}
    with the_desk(by) as desk, desk.writing() as (book, doing):
        found = _changed(book, doing, told, [])
    print_caps(found.caps)


def _changed(book: Book, doing: Doing, told: dict[str, Any], on_call: list[str]) -> Kitchen:
    """The kitchen as it is then; a new version only where something is told."""
    must(doing, Act.READ_HOUSE)
    wanted = _wanted(KitchenChange, _said(told))
    found = house.in_force(book)
    to = wanted.to(found.kitchen)
    if on_call:
        to["on_call"] = _on_call(found.kitchen, on_call)
    if to:
        found = changing.change_kitchen(book, doing, version=found.number, to=to)
    return found.kitchen


def _on_call(kitchen: Kitchen, told: list[str]) -> tuple[OnCall, ...]:
    """Those of the nights named, and of all others as before."""
    named = {}
    for each in told:
        night, who = _parted(each, "--on-call")
        name, _, telephone = who.rpartition(",")
        named[_weekday(night)] = OnCall(_weekday(night), name.strip(), telephone.strip())
    kept = (each for each in kitchen.on_call if each.weekday not in named)
    return tuple(sorted((*kept, *named.values()), key=lambda each: each.weekday))


def _weekday(name: str) -> int:
    try:
        return weekday(name)
    except ValueError as error:
        raise _bad("--on-call", str(error)) from None


def _print(kitchen: Kitchen) -> None:
    typer.echo(f"{kitchen.name}, staffed {as_written(kitchen.staffed)}")
    typer.echo(f"Closed: {', '.join(map(str, kitchen.closures)) or 'on no day named'}")
    for hand in kitchen.hands:
        typer.echo(f"{hand.name}, {hand.role}: {as_written(hand.shifts)}")
    for each in kitchen.on_call:
        typer.echo(f"On call {DAYS[each.weekday]}: {each.name}, {each.telephone}")


@app.command("growers")
def growers_command(by: By = None) -> None:
    """List the members."""
    with the_desk(by) as desk, desk.reading() as (book, doing):
        must(doing, Act.READ_HOUSE)
        house.in_force(book)  # or it is told how a kitchen and its members come in
        lines = (
            f"{each.id:5} {each.name}, {each.farm}: {count(each.shares, 'share')},"
            f" {each.people} at work"
            for each in house.growers(book)
        )
        print_listed(lines, "no member is in the book; take them in: commonrack take-in SCENARIO")


@app.command("grower")
def grower_command(
    grower: Annotated[str, typer.Argument(help="Id of the grower.")],
    shares: Annotated[int | None, typer.Option(help="How many she holds.")] = None,
    people: Annotated[int | None, typer.Option(help="A pair (2), or alone (1).")] = None,
    cannot: Annotated[str | None, typer.Option(help="By the week: Sat; Wed 12:00-19:00")] = None,
    away: Annotated[str | None, typer.Option(help="Single days: 2026-08-20; 2026-08-21")] = None,
    by: By = None,
) -> None:
    """Print when a member cannot come, or change what is named. Then lay out again.

    Example: commonrack grower G01 --cannot "Sat; Wed 12:00-19:00"
    """
    told = {"shares": shares, "people": people, "cannot": cannot, "away": away}
    with the_desk(by) as desk, desk.writing() as (book, doing):
        wanted = _wanted(GrowerChange, _said(told))
        zone, found = house.zone_of(book), changing.grower_entry(book, doing, grower)
        if to := wanted.to(zone):
            found = changing.change_grower(book, doing, grower, version=found.version, to=to)
    days = "; ".join(f"{each.start.astimezone(zone):%Y-%m-%d %H:%M}" for each in found.grower.away)
    cannot = as_written(found.grower.cannot) or "on no day named"
    typer.echo(f"{grower} {found.grower.name}: cannot come {cannot}; away from {days or 'no day'}")


def _said(told: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in told.items() if value is not None}


def _parted(text: str, field: str) -> tuple[str, str]:
    """What stands before the first colon, and behind it."""
    name, _, rest = text.partition(":")
    if not rest.strip():
        raise _bad(field, f"{text!r} has nothing behind a colon")
    return name.strip(), rest.strip()


def _wanted(kind: type[Change], told: dict[str, Any]) -> Change:
    """What is told, checked as it is where it comes as JSON."""
    try:
        return kind.model_validate(told)
    except ValidationError as error:
        faults = ((".".join(map(str, each["loc"])), each["msg"]) for each in error.errors())
        raise BadInput(tuple(InputFault(field, None, None, said) for field, said in faults)) from (
            None
        )


def _bad(field: str, message: str) -> BadInput:
    return BadInput((InputFault(field, None, None, message),))
