"""pin, forbid, leave-free, wishes: what a lay-out is to keep to, by hand."""

from __future__ import annotations

from typing import Annotated

import typer

from api.cli.desk import (
    By,
    CommandDesk,
    WeekArgument,
    app,
    day_named,
    moment_named,
    the_desk,
    week_named,
)
from api.services import wishes
from api.services.errors import NoSuchThing
from api.services.house import in_force, zone_of
from api.services.notes import week_of
from api.services.ports import Book
from scheduler.domain.clock import Span, Week
from scheduler.domain.wish import Wish, WishKind
from scheduler.reasons.wished import place

Note = Annotated[str, typer.Argument(metavar="NOTE", help="Its name: N27.")]
OnDryer = Annotated[str | None, typer.Option("--dryer", help="On that dryer: D2.")]
OnDay = Annotated[str | None, typer.Option("--day", help="On that day: 2026-08-19.")]
AtRun = Annotated[
    str | None, typer.Option("--at", help="In the run that starts then: 2026-08-19T11:00.")
]
Only = Annotated[bool, typer.Option("--only-tell", help="Keep nothing, only tell.")]


@app.command("pin")
def pin_command(
    note: Note,
    dryer: OnDryer = None,
    day: OnDay = None,
    at: AtRun = None,
    only_tell: Only = False,
    by: By = None,
) -> None:
    """The next lay-out puts a note's charges there, or says why it cannot.

    Example: commonrack pin R03 --dryer D2 --day 2026-08-19
    """
    with the_desk(by) as desk:
        _of_note(desk, "pin", note, (dryer, day, at), only_tell=only_tell)


@app.command("forbid")
def forbid_command(
    note: Note,
    dryer: OnDryer = None,
    day: OnDay = None,
    at: AtRun = None,
    only_tell: Only = False,
    by: By = None,
) -> None:
    """The next lay-out puts none of a note's charges there."""
    with the_desk(by) as desk:
        _of_note(desk, "forbid", note, (dryer, day, at), only_tell=only_tell)


@app.command("leave-free")
def leave_free_command(
    dryer: Annotated[str, typer.Argument(metavar="DRYER", help="Its id: D1.")],
    start: Annotated[str, typer.Argument(metavar="FROM", help="2026-08-19T11:00.")],
    end: Annotated[str, typer.Argument(metavar="TO", help="2026-08-19T15:00.")],
    only_tell: Only = False,
    by: By = None,
) -> None:
    """The next lay-out has no run on a dryer from then to then."""
    with the_desk(by) as desk:
        with desk.reading() as (book, _):
            span = Span(moment_named(book, start, "FROM"), moment_named(book, end, "TO"))
            week = Week.of(span.start.astimezone(zone_of(book)).date())
        _wished(desk, week, Wish(0, "leave free", "", dryer, span), only_tell=only_tell)


@app.command("wishes")
def wishes_command(
    week: WeekArgument,
    undo: Annotated[int | None, typer.Option(help="Number of one to undo.", min=1)] = None,
    by: By = None,
) -> None:
    """List what is pinned, forbidden and left free in a week, or undo one of it."""
    with the_desk(by) as desk, desk.writing() as (book, doing):
        if undo is not None:
            wishes.undo(book, doing, undo)
        for each in wishes.wishes(book, doing, week_named(week)):
            typer.echo(f"{each.number:3} {_words(book, each.wish)}")


def _of_note(
    desk: CommandDesk,
    kind: WishKind,
    note_id: str,
    where: tuple[str | None, str | None, str | None],
    *,
    only_tell: bool,
) -> None:
    dryer, day, at = where
    with desk.reading() as (book, _):
        entry = book.notes.find(note_id)
        if entry is None:
            raise NoSuchThing(f"there is no note {note_id}")
        span = wishes.when(
            zone_of(book),
            day=day_named(day, "--day") if day else None,
            start=moment_named(book, at, "--at") if at else None,
        )
        week = week_of(book, entry.note.arrives)
    wish = Wish(0, kind, note_id, dryer or "", span)
    _wished(desk, week, wish, only_tell=only_tell)


def _wished(desk: CommandDesk, week: Week, wish: Wish, *, only_tell: bool) -> None:
    with desk.reading() as (book, doing):
        found = wishes.judge(book, doing, week, wish)
    typer.echo(f"{found.verdict[0].upper()}{found.verdict[1:]}: {found.sentence}")
    if not only_tell:
        with desk.writing() as (book, doing):
            kept = wishes.wish_for(book, doing, week, wish)
            typer.echo(f"Kept as wish {kept.number}: {_words(book, wish)}.")


def _words(book: Book, wish: Wish) -> str:
    where = place(in_force(book).kitchen, wish)
    return f"{wish.kind} {where}" if not wish.note_id else f"{wish.kind} {wish.note_id}: {where}"
