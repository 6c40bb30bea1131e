"""people add, list, invite, leave: who may open the book."""

from __future__ import annotations

import os
from typing import Annotated

import typer

from api.cli.desk import By, app, print_listed, the_desk
from api.records.people import Role
from api.services import people
from api.services.passwords import hashed
from api.services.people import NewPerson
from api.settings import Settings

people_app = typer.Typer(help="People of the book: added, listed, invited, gone.")
app.add_typer(people_app, name="people")
Login = Annotated[str, typer.Argument(metavar="LOGIN", help="Log-in name.")]


@people_app.command("add")
def add_command(
    login: Login,
    name: Annotated[str, typer.Argument(help="As people call her.")],
    role: Annotated[Role, typer.Option(help="What she may.")] = "manager",
    grower: Annotated[str | None, typer.Option(help="Id of the grower she is.")] = None,
    password: Annotated[
        str | None,
        typer.Option(
            envvar="COMMONRACK_PASSWORD", help="Asked for, if not given.", show_default=False
        ),
    ] = None,
    by: By = None,
) -> None:
    """Add a person. Growers need no password: invite them.

    Example: commonrack people add lotte "Lotte Amberry"
    """
    if password is None and role != "grower":
        password = typer.prompt("Password", hide_input=True, confirmation_prompt=True)
    with the_desk(by) as desk:
        new = NewPerson(login, name, role, grower, hashed(password) if password else None)
        with desk.writing() as (book, doing):
            people.add_person(book, doing, new)
    typer.echo(f"{login} is in the book as {role}.")


@people_app.command("list")
def list_command(by: By = None) -> None:
    """Everybody who has not left."""
    with the_desk(by) as desk, desk.reading() as (book, doing):
        lines = (
            f"{each.id:20} {each.role:8} {each.grower_id or '':5} {each.name}"
            for each in people.people(book, doing)
        )
        nobody = "nobody has a log-in yet; add somebody: commonrack people add LOGIN NAME"
        print_listed(lines, nobody)


@people_app.command("invite")
def invite_command(login: Login, by: By = None) -> None:
    """Print a link with which a grower reads her own pages without a password; older ones end."""
    with the_desk(by) as desk, desk.writing() as (book, doing):
        given = people.invite(book, doing, login)
    address = Settings.of(os.environ).address
    typer.echo(f"{address}/invited/{given.secret}")


@people_app.command("leave")
def leave_command(login: Login, by: By = None) -> None:
    """She has left: nothing she was given holds any longer."""
    with the_desk(by) as desk, desk.writing() as (book, doing):
        people.leave(book, doing, login)
    typer.echo(f"{login} has left.")
