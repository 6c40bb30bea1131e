"""take-in, backup, restore: filling the book and keeping it safe."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from api.cli.desk import By, app, the_desk, the_shelf
from api.services.taking_in import take_in
from api.store.copy import read_copy, write_copy
from scheduler.scenario import bundled, load


@app.command("take-in")
def take_in_command(
    scenario: Annotated[str, typer.Argument(help=f"A folder, or one of: {', '.join(bundled())}.")],
    by: By = None,
) -> None:
    """Take a scenario into the book: kitchen, cards, growers, notes and record; all or nothing."""
    with the_desk(by) as desk:
        asked = load(scenario)
        with desk.writing() as (book, doing):
            take_in(book, doing, asked)
    typer.echo(f"{asked.kitchen.name}: {len(asked.notes)} notes of {asked.week} are in the book.")


@app.command("backup")
def backup_command(
    file: Annotated[Path, typer.Argument(help="Where to write it: book.jsonl.gz.")],
) -> None:
    """Copy the whole book into a file, while it is in use. It holds personal data: lock it up."""
    with the_shelf() as shelf:
        count = write_copy(shelf.engine, file)
    typer.echo(f"{count} records are in {file}")


@app.command("restore")
def restore_command(
    file: Annotated[Path, typer.Argument(help="A file that backup wrote.")],
) -> None:
    """Read a copy back into an empty book; COMMONRACK_DATABASE_URL says which.

    Everybody logs in anew; tokens, invitations and feeds still hold.
    """
    with the_shelf() as shelf, shelf.writing() as book:
        count = read_copy(book.session, file)
    typer.echo(f"{count} records were restored")
