"""note, notes, let-go, stand-down, carry-over, take-in-many: harvest notes at the command line."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from api.cli.desk import (
    By,
    CommandDesk,
    WeekArgument,
    app,
    moment_named,
    print_listed,
    the_desk,
    week_named,
)
from api.records.notes import NoteEntry, NoteState
from api.schemas.answer import answer_in_json
from api.schemas.note import NoteBody
from api.services import notes
from api.services.note_import import import_notes, read_table, zone_for_import
from api.services.notes import Said, SeenNote, as_seen
from api.services.noting import note_with_answer
from api.services.once import Repeatable, Told
from api.services.ports import Book
from api.services.roles import Doing
from scheduler.units import grams
from scheduler.wording import weight

NoteName = Annotated[str, typer.Argument(metavar="NOTE", help="Its name: N27.")]
ONCE = Repeatable(None, "")


@app.command("note")
def note_command(
    grower: Annotated[str, typer.Argument(help="Id of the grower.")],
    card: Annotated[str, typer.Argument(help="Id of the process card.")],
    kg: Annotated[float, typer.Argument(help="Field weight in kg.", min=0.001)],
    arrives: Annotated[str, typer.Argument(help="By the kitchen's clock: 2026-08-18T08:00.")],
    remark: Annotated[str, typer.Option(help="Shown with the note.")] = "",
    by: By = None,
) -> None:
    """Add a harvest note, and print the answer the grower is given at once.

    Example: commonrack note G01 tomato 55 2026-08-18T08:00
    """
    with the_desk(by) as desk:
        with desk.reading() as (book, _):
            at = moment_named(book, arrives, "ARRIVES")
        said = Said(grower, card, grams(kg), at, remark=remark)
        told = note_with_answer(desk, said, ONCE, words=answer_in_json, tell=_as_noted).body
    typer.echo(f"{told['id']} noted, {told['state']}.")
    typer.echo(told["answer"]["text"])


def _as_noted(book: Book, doing: Doing, entry: NoteEntry) -> Told:
    (seen,) = as_seen(book, doing, (entry,))
    return Told(201, NoteBody.from_domain(seen).model_dump(mode="json"))


@app.command("notes")
def notes_command(week: WeekArgument, by: By = None) -> None:
    """List the notes of a week, in order of call."""
    with the_desk(by) as desk, desk.reading() as (book, doing):
        found = notes.notes(book, doing, week=week_named(week), after=None, limit=None)
        none = f"no note of {week} is in the book; add one: commonrack note GROWER CARD KG ARRIVES"
        print_listed((_listed(seen) for seen in as_seen(book, doing, found)), none)


def _listed(seen: SeenNote) -> str:
    entry = seen.entry
    arrives = entry.arrives.astimezone(seen.zone)
    short = f" ({'; '.join(seen.papers_short)})" if seen.papers_short else ""
    return (
        f"{entry.id:6} {entry.grower_id:5} {entry.card_id:12} "
        f"{weight(entry.field_g):>10}  {arrives:%a %d %b %H:%M}  {entry.state}{short}"
    )


@app.command("import")
def import_command(
    table: Annotated[Path, typer.Argument(help="CSV or .xlsx, columns as in harvest_notes.csv.")],
    by: By = None,
) -> None:
    """Add many notes at once; every row is told what became of it."""
    with the_desk(by) as desk:
        content = table.read_bytes()
        with desk.reading() as (book, doing):
            zone = zone_for_import(book, doing)
        found = read_table(content, table.name, zone)
        with desk.writing() as (book, doing):
            reports = import_notes(book, doing, found)
    for each in reports:
        faults = "; ".join(str(fault) for fault in each.faults)
        typer.echo(f"row {each.row}: {each.note_id or faults}")


def _end(desk: CommandDesk, name: str, state: NoteState) -> None:
    with desk.writing() as (book, doing):
        found = notes.note(book, doing, name, notes.ENDS[state])
        notes.end(book, doing, name, version=found.version, state=state)
    typer.echo(f"{name} is {state}.")


@app.command("let-go")
def let_go_command(note: NoteName, by: By = None) -> None:
    """The grower lets a note go; its turns end with it."""
    with the_desk(by) as desk:
        _end(desk, note, "let go")


@app.command("stand-down")
def stand_down_command(note: NoteName, by: By = None) -> None:
    """The kitchen stands a note down; its turns end with it."""
    with the_desk(by) as desk:
        _end(desk, note, "stood down")


@app.command("carry-over")
def carry_over_command(
    note: NoteName,
    arrives: Annotated[str, typer.Argument(help="In a later week: 2026-08-25T08:00.")],
    by: By = None,
) -> None:
    """The note ends here and begins anew in a later week."""
    with the_desk(by) as desk, desk.writing() as (book, doing):
        found = notes.note(book, doing, note)
        at = moment_named(book, arrives, "ARRIVES")
        anew = notes.carry_over(book, doing, note, version=found.version, arrives=at)
    typer.echo(f"{note} is carried over into {anew.week} as {anew.id}.")
