"""calls, rung, telephone: whom to ring for what, and by which number."""

from __future__ import annotations

from typing import Annotated
from zoneinfo import ZoneInfo

import typer

from api.cli.desk import By, WeekArgument, app, print_listed, the_desk, week_named
from api.services.calls import Call, Reason, call_list, ring
from api.services.changing import change_telephone, grower_entry
from api.services.house import zone_of
from scheduler.wording import clock, short_day

GrowerId = Annotated[str, typer.Argument(metavar="GROWER", help="Id of the grower.")]


@app.command("calls")
def calls_command(week: WeekArgument, by: By = None) -> None:
    """List whom to ring for what, and who was rung by whom."""
    with the_desk(by) as desk, desk.reading() as (book, doing):
        zone = zone_of(book)
        found = call_list(book, doing, week_named(week))
        lines = [line for call in found for line in _lines(call, zone)]
    print_listed(lines, f"nobody is to be rung about {week}")


@app.command("rung")
def rung_command(
    week: WeekArgument,
    grower: GrowerId,
    back: Annotated[bool, typer.Option("--back", help="She was not after all.")] = False,
    by: By = None,
) -> None:
    """A grower was rung about all that she was to be rung for.

    Example: commonrack rung 2026-W34 G09
    """
    with the_desk(by) as desk, desk.writing() as (book, doing):
        of = week_named(week)
        every = (each for each in call_list(book, doing, of) if each.grower.id == grower)
        about = [reason.id for call in every for reason in call.reasons]
        ring(book, doing, of, grower, about=about, back=back)
    typer.echo(f"{grower} was {'not rung' if back else 'rung'}.")


@app.command("telephone")
def telephone_command(
    grower: GrowerId,
    number: Annotated[str, typer.Argument(help='Her number; "" where there is none.')],
    by: By = None,
) -> None:
    """By which number a grower is rung.

    Example: commonrack telephone G01 555-0142
    """
    with the_desk(by) as desk, desk.writing() as (book, doing):
        found = grower_entry(book, doing, grower)
        kept = change_telephone(book, doing, grower, version=found.version, telephone=number)
    typer.echo(f"{grower} {kept.grower.name}: {kept.telephone or 'no number'}")


def _lines(call: Call, zone: ZoneInfo) -> list[str]:
    grower, number = call.grower, call.telephone or "no number in the book"
    head = f"{grower.id} {grower.name}, {grower.farm}: {number}"
    return [head, *(f"    {_line(reason, zone)}" for reason in call.reasons)]


def _line(reason: Reason, zone: ZoneInfo) -> str:
    more = f" ({'; '.join(reason.papers)})" if reason.papers else ""
    told = f"{reason.entry.id} {reason.card.name}: {reason.why}{more}"
    if reason.rung is None:
        return f"- {told}"
    at = reason.rung.at.astimezone(zone)
    return f"x {told}; rung by {reason.rung.by}, {short_day(at)} {clock(at)}"
