"""post, week, fees, day, turns, messages, compare: plans of the book at the command line."""

from __future__ import annotations

import json
from typing import Annotated
from zoneinfo import ZoneInfo

import typer
from rich.console import Console

from api.cli.desk import By, WeekArgument, app, day_named, print_listed, the_desk, week_named
from api.records.told import Message
from api.schemas.comparing import ComparedBody
from api.services.comparing import compare
from api.services.fees import fees_of_week
from api.services.house import zone_of
from api.services.messages import mark_sent, messages
from api.services.plans import sheet_for, versions_for, week_for
from api.services.posting import OnPurpose, post
from api.services.turns import turns
from scheduler.domain.turn import Turn
from scheduler.terminal import fees_text, sheet_text, week_text
from scheduler.wording import clock_from


@app.command("post")
def post_command(
    week: WeekArgument,
    plan: Annotated[
        int | None, typer.Option(help="Its number; the newest, if not named.", min=1)
    ] = None,
    moving: Annotated[
        bool, typer.Option("--move-firm-turns", help="Even where it moves or drops firm turns.")
    ] = False,
    over_caps: Annotated[
        bool, typer.Option("--over-caps", help="Even with more turns or standing lots than voted.")
    ] = False,
    by: By = None,
) -> None:
    """Make a plan firm, and write one message to every grower it concerns."""
    with the_desk(by) as desk, desk.writing() as (book, doing):
        of = week_named(week)
        versions = versions_for(book, doing, of)
        number = plan or (versions[-1] if versions else 0)
        done = post(book, doing, number, week=of, purpose=OnPurpose(moving, over_caps))
    typer.echo(f"Plan {done.kept.number} is posted: {len(done.turns)} turns changed.")
    for message in done.messages:
        typer.echo(f"\nTo {message.grower_id}: {message.text}")


@app.command("week")
def week_command(week: WeekArgument, by: By = None) -> None:
    """Print the posted plan of a week, else the newest."""
    with the_desk(by) as desk, desk.reading() as (book, doing):
        kept = week_for(book, doing, week_named(week))
        console = Console(highlight=False)
        console.print(f"Plan {kept.number}, {kept.state}")
        console.print(week_text(kept.asked, kept.plan))


@app.command("fees")
def fees_command(week: WeekArgument, by: By = None) -> None:
    """Print what the posted plan of a week (else the newest) costs each grower, line by line.

    Example: commonrack fees 2026-W34
    """
    with the_desk(by) as desk, desk.reading() as (book, doing):
        found = fees_of_week(book, doing, week_named(week))
        console = Console(highlight=False)
        for text in fees_text(found.growers, found.kept.asked):
            console.print(text)


@app.command("compare")
def compare_command(
    before: Annotated[int, typer.Argument(help="Number of one plan.", min=1)],
    after: Annotated[int, typer.Argument(help="Number of the other.", min=1)],
    by: By = None,
) -> None:
    """Two plans of a week side by side: who moves, who gains or loses a place, what it costs; JSON.

    Example: commonrack compare 3 4
    """
    with the_desk(by) as desk, desk.reading() as (book, doing):
        found = ComparedBody.from_domain(compare(book, doing, before, after=after))
    typer.echo(json.dumps(found.model_dump(mode="json"), indent=1, ensure_ascii=False))


@app.command("day")
def day_command(
    day: Annotated[str, typer.Argument(metavar="DATE", help="2026-08-18.")], by: By = None
) -> None:
    """Print the day sheet from the posted plan, else the newest; a grower's own part of it."""
    with the_desk(by) as desk, desk.reading() as (book, doing):
        sheet = sheet_for(book, doing, day_named(day, "DATE"))
        Console(highlight=False).print(sheet_text(sheet))


@app.command("turns")
def turns_command(week: WeekArgument, by: By = None) -> None:
    """List when growers are expected."""
    with the_desk(by) as desk, desk.reading() as (book, doing):
        zone = zone_of(book)
        found = turns(book, doing, week=week_named(week))
        nobody = f"nobody is expected in {week}; turns come with its plan: commonrack post {week}"
        print_listed((_turn(each, zone) for each in found), nobody)


def _turn(turn: Turn, zone: ZoneInfo) -> str:
    start, end = turn.start.astimezone(zone), turn.end.astimezone(zone)
    until = clock_from(end, start.date())
    return f"{turn.whose:5} {start:%a %d %b %H:%M}-{until}  {turn.state:10} {turn.title}"


@app.command("messages")
def messages_command(
    sent: Annotated[int | None, typer.Option(help="Number of one that went out.", min=1)] = None,
    every: Annotated[
        bool, typer.Option("--all", help="Those that were sent or overtaken, too.")
    ] = False,
    by: By = None,
) -> None:
    """List the messages that are to be sent, or write down that one was."""
    with the_desk(by) as desk, desk.writing() as (book, doing):
        if sent is not None:
            mark_sent(book, doing, sent)
            return
        lines = (
            f"{each.number} to {each.grower_id}{_what_became(each)}: {each.text}\n"
            for each in messages(book, doing, unsent=not every, after=None, limit=None)
        )
        print_listed(lines, "nothing is to be sent; posting writes messages: commonrack post WEEK")


def _what_became(message: Message) -> str:
    sent = ", sent" if message.sent_at else ""
    return sent + (f", overtaken by {message.overtaken_by}" if message.overtaken_by else "")
