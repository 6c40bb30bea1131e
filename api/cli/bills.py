"""invoices: what growers owe for a month, at the command line."""

from __future__ import annotations

from typing import Annotated

import typer

from api.cli.desk import By, app, day_named, the_desk
from api.services.bills import months_bills
from scheduler.season.sheets import csv_text
from scheduler.season.tables import lines_table

MINOR = 100


@app.command("invoices")
def invoices_command(
    month: Annotated[str, typer.Argument(metavar="MONTH", help="2026-08.")],
    grower: Annotated[str | None, typer.Option(help="Hers alone: G11.")] = None,
    as_csv: Annotated[bool, typer.Option("--csv", help="A table for a spreadsheet.")] = False,
    by: By = None,
) -> None:
    """Print what growers owe for a month, each line with the record behind it.

    Example: commonrack invoices 2026-08 --grower G11
    """
    with the_desk(by) as desk, desk.reading() as (book, doing):
        found = months_bills(book, doing, day_named(f"{month}-01", "MONTH"))
    hers = [each for each in found.invoices if grower in (None, each.grower_id)]
    if as_csv:
        typer.echo(csv_text(lines_table(hers)), nl=False)
        return
    for invoice in hers:
        typer.echo(f"{invoice.grower_id}, {month}")
        for line in invoice.lines:
            quantity, price = float(line.fee.quantity), line.fee.price / MINOR
            amount = f"{quantity:9.2f} x {price:8.2f} = {line.amount / MINOR:9.2f}"
            typer.echo(f"  {line.fee.what:30} {amount}  {line.record}")
        total = f"{invoice.total / MINOR:.2f} {found.currency}"
        typer.echo(f"  {'together':30} {total:>33}\n")
    if not hers:
        typer.echo("Nothing is owed.")
