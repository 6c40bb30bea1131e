"""suppose: a week of the book tried otherwise, beside its plan, at the command line."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

import typer

from api.cli.desk import By, CommandDesk, WeekArgument, app, moment_named, the_desk, week_named
from api.records.jobs import SupposedFound
from api.services.errors import NoSuchThing
from api.services.jobs import SECONDS
from api.services.notes import week_of
from api.services.suppositions import SupposedWeek, ask_suppose, supposed
from scheduler.comparing import by_grower
from scheduler.domain.clock import Span, Week
from scheduler.domain.supposition import KINDS, Supposition, SuppositionKind
from scheduler.errors import BadInput, BrokenPromise, InputFault
from scheduler.units import grams
from scheduler.wording import listed, weight
from web.seen_through import seen_through

ONE_MORE = tuple(each for each in KINDS if each not in ("note", "down"))
MINOR = 100
group = typer.Typer(
    help="Try a week otherwise beside its plan, which stays as it is; nothing of it can be posted."
)
app.add_typer(group, name="suppose")
Seconds = Annotated[float, typer.Option(help="For both weeks together.", min=1)]


@group.command("week")
def week_command(
    week: WeekArgument,
    kind: Annotated[str, typer.Argument(metavar="WHAT", help=f"One of: {', '.join(ONE_MORE)}.")],
    seconds: Seconds = SECONDS,
    move_firm_turns: Annotated[
        bool, typer.Option("--move-firm-turns", help="In both weeks alike.")
    ] = False,
    by: By = None,
) -> None:
    """A station more, a hand more, an evening shift, another order of calling.

    Example: commonrack suppose week 2026-W34 dryer
    """
    with the_desk(by) as desk:
        what = Supposition(_kind(kind))
        _tell(desk, week_named(week), what, seconds=seconds, moving=move_firm_turns)


@group.command("note")
def note_command(
    note: Annotated[str, typer.Argument(metavar="NOTE", help="Its name: N27.")],
    kg: Annotated[float | None, typer.Option(help="Another weight.", min=0.001)] = None,
    arrives: Annotated[str | None, typer.Option(help="2026-08-19T08:00.")] = None,
    latest_start: Annotated[str | None, typer.Option(help="2026-08-20T12:00.")] = None,
    seconds: Seconds = SECONDS,
    by: By = None,
) -> None:
    """One note of another weight, on another day, or with a later latest start.

    The latest start protects the food: whether a lot may wait longer is decided by a person.
    """
    with the_desk(by) as desk:
        with desk.reading() as (book, _):
            entry = book.notes.find(note)
            if entry is None:
                raise NoSuchThing(f"there is no note {note}")
            what = Supposition(
                "note",
                note,
                None if kg is None else grams(kg),
                moment_named(book, arrives, "--arrives") if arrives else None,
                moment_named(book, latest_start, "--latest-start") if latest_start else None,
            )
            week = week_of(book, entry.note.arrives)
        _tell(desk, week, what, seconds=seconds)


@group.command("down")
def down_command(
    dryer: Annotated[str, typer.Argument(metavar="DRYER", help="Its id: D1.")],
    start: Annotated[str, typer.Argument(metavar="FROM", help="2026-08-19T11:00.")],
    end: Annotated[str, typer.Argument(metavar="TO", help="2026-08-20T15:00.")],
    seconds: Seconds = SECONDS,
    by: By = None,
) -> None:
    """A dryer down in time to come. One that has stopped: commonrack down, re-lay-week."""
    with the_desk(by) as desk:
        with desk.reading() as (book, _):
            first, last = moment_named(book, start, "FROM"), moment_named(book, end, "TO")
            if last <= first:
                raise BadInput((InputFault("TO", None, None, "must be after FROM"),))
            week = week_of(book, first)
        what = Supposition("down", dryer_id=dryer, span=Span(first, last))
        _tell(desk, week, what, seconds=seconds)


def _kind(text: str) -> SuppositionKind:
    for each in ONE_MORE:
        if each == text:
            return each
    told = f"is {text!r}; one of: {', '.join(ONE_MORE)}"
    raise BadInput((InputFault("WHAT", None, None, told),))


def _tell(
    desk: CommandDesk, week: Week, what: Supposition, *, seconds: float, moving: bool = False
) -> None:
    """Ask, look, print what it comes to."""
    with desk.writing() as (book, doing):
        number = ask_suppose(book, doing, week, what, seconds=seconds, moving=moving).number
    seen_through(desk, number)
    with desk.reading() as (book, doing):
        told = supposed(book, doing, number)
    found = told.supposing.found
    if found is None:
        raise BrokenPromise(told.job.fault or "nothing was found")
    for line in _lines(told, found):
        typer.echo(line)


def _lines(told: SupposedWeek, found: SupposedFound) -> Iterator[str]:
    both, currency = found.compared, told.asked.kitchen.currency
    yield f"as it is    {weight(both.before.worth_g):>9} prepared, {both.before.placed} notes"
    yield f"as supposed {weight(both.after.worth_g):>9} prepared, {both.after.placed} notes"
    own, other = weight(found.without_bound_g), weight(found.with_bound_g)
    yield f"No plan can have more than {own} as it is, {other} as supposed."
    if told.cost:
        cost, source = f"{told.cost / MINOR:.2f} {currency}", told.asked.kitchen.costs.source
        yield f"For this week it would cost about {cost} (source of prices: {source})."
    for each in by_grower(told.asked, both):
        before, after = weight(each.before_g), weight(each.after_g)
        yield f"  {each.grower_id} {before} -> {after}: {listed((*each.loses, *each.gains))}"
    for moved in found.moved:
        yield f"  {moved.note_id} could not stay (rule {moved.rule}): {moved.reason}"
    yield "Only supposed: the plan stands as it is."
