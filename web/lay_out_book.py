"""lay-out-week and re-lay-week: a week of the book laid out, or mended, at the command line."""

from __future__ import annotations

from typing import Annotated
from zoneinfo import ZoneInfo

import typer
from rich.console import Console

from api.cli.desk import By, WeekArgument, app, the_desk, week_named
from api.services.house import zone_of
from api.services.lay_outs import keep_laid_out, to_lay_out
from api.services.mends import SECONDS, ask_mend, mended
from scheduler.cli.commands import Seed, limits_from, tell_faults
from scheduler.cli.live import lay_out_live
from scheduler.domain.clock import Span
from scheduler.domain.rules import FULL
from scheduler.errors import BrokenPromise
from scheduler.terminal import week_text
from scheduler.wording import count
from web.seen_through import seen_through


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


@app.command("re-lay-week")
def re_lay_week_command(
    week: WeekArgument,
    seconds: Annotated[float, typer.Option(help="For both ways.", min=1)] = SECONDS,
    by: By = None,
) -> None:
    """Mend the posted plan of a week: both ways, and who moves. To take one: post.

    Example: commonrack re-lay-week 2026-W34
    """
    with the_desk(by) as desk:
        with desk.writing() as (book, doing):
            number = ask_mend(book, doing, week_named(week), seconds=seconds).number
        seen_through(desk, number)
        with desk.reading() as (book, doing):
            found, zone = mended(book, doing, number), zone_of(book)
    if found.job.fault:
        raise BrokenPromise(found.job.fault)
    for name, way in found.ways:
        proposed = ", proposed" if name == found.mend.proposed else ""
        typer.echo(f"Plan {way.plan} ({name}{proposed}): {count(len(way.moves), 'turn')} moved")
        for each in way.moves:
            was, now = _start(each.was, zone), _start(each.now, zone)
            typer.echo(f"  {each.grower_id} {each.note_id} {each.kind}: {was} -> {now}")
    typer.echo(f"To post one: commonrack post {week} --plan NUMBER --move-firm-turns")


def _start(span: Span | None, zone: ZoneInfo) -> str:
    return "none" if span is None else f"{span.start.astimezone(zone):%a %d %b %H:%M}"
