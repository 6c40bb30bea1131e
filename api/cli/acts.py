"""door, pack, trail, down, up, papers: the kitchen's acts at the command line."""

from __future__ import annotations

import json
from typing import Annotated

import typer

from api.cli.desk import By, app, day_named, the_desk
from api.records.house import KeptPaper
from api.schemas.lot import TrailBody
from api.schemas.papers import GrowersPapersBody
from api.services import lots, outages, papers
from api.services.errors import NotNow
from api.services.handing_out import hand_out
from api.services.house import in_force, zone_of
from scheduler.domain.kitchen import VotedCaps
from scheduler.units import grams
from scheduler.wording import count

LotCode = Annotated[str, typer.Argument(metavar="LOT", help="Its code: 26-231-G01-TOM.")]
Station = Annotated[str, typer.Argument(metavar="STATION", help="Its id: D3.")]
MISSING = "missing"


@app.command("door")
def door_command(
    note: Annotated[str, typer.Argument(metavar="NOTE", help="Its name: N27.")],
    kg: Annotated[float, typer.Argument(help="As weighed, in kg.", min=0.001)],
    by: By = None,
) -> None:
    """Weigh in: the note becomes a lot with a code and its true weight."""
    with the_desk(by) as desk, desk.writing() as (book, doing):
        lot = lots.door(book, doing, note, grams(kg))
    typer.echo(lot.code)


@app.command("pack")
def pack_command(
    lot: LotCode,
    bags: Annotated[int, typer.Argument(help="Full bags.", min=0)],
    by: By = None,
) -> None:
    """So many bags came of a lot. Whether they may be sold, a person decides."""
    with the_desk(by) as desk, desk.writing() as (book, doing):
        found = lots.lot(book, doing, lot)
        packed = lots.pack(book, doing, lot, version=found.version, bags=bags)
    typer.echo(f"{packed.code}: {packed.bags} bags.")


@app.command("hand-out")
def hand_out_command(
    lot: LotCode,
    bags: Annotated[int, typer.Argument(help="How many.", min=1)],
    to: Annotated[str, typer.Argument(help="Who has them now.")],
    by: By = None,
) -> None:
    """Bags of a lot went to somebody: its trail goes forward to them.

    Example: commonrack hand-out 26-231-G01-TOM 24 "farm shop"
    """
    with the_desk(by) as desk, desk.writing() as (book, doing):
        version = lots.lot(book, doing, lot).version
        hand_out(book, doing, lot, version=version, bags=bags, to=to)
    typer.echo(f"{lot}: {bags} bags to {to}.")


@app.command("trail")
def trail_command(lot: LotCode, by: By = None) -> None:
    """Follow a lot back to the field and forward to the bags; JSON."""
    with the_desk(by) as desk, desk.reading() as (book, doing):
        found = TrailBody.from_domain(lots.trail(book, doing, lot), zone_of(book))
    typer.echo(json.dumps(found.model_dump(mode="json"), indent=1, ensure_ascii=False))


@app.command("down")
def down_command(
    station: Station,
    cause: Annotated[str, typer.Option(help="What is wrong, as far as known.")] = "",
    by: By = None,
) -> None:
    """A station stopped, now. Plans posted before no longer hold: lay out again."""
    with the_desk(by) as desk, desk.writing() as (book, doing):
        outages.down(book, doing, station, stopped=doing.at, cause=cause)
    typer.echo(f"{station} is down.")


@app.command("up")
def up_command(station: Station, by: By = None) -> None:
    """A station is back, now."""
    with the_desk(by) as desk, desk.writing() as (book, doing):
        down = [
            each
            for each in outages.outages(book, doing, open_only=True)
            if each.station_id == station
        ]
        if not down:
            raise NotNow(f"{station} is not down")
        outages.up(book, doing, down[0].number, version=down[0].version, back=doing.at)
    typer.echo(f"{station} is up.")


@app.command("approve")
def approve_command(
    card: Annotated[str, typer.Argument(metavar="CARD", help="Id of the process card.")],
    letter: Annotated[str, typer.Argument(help="Which letter was seen: of 3 March, no. 12.")],
    until: Annotated[str | None, typer.Option(help="Its last day, if it has one.")] = None,
    by: By = None,
) -> None:
    """The process authority's letter for a card was seen; it stands in place of the one before.

    Example: commonrack approve chili "of 3 March, no. 12" --until 2027-03-31
    """
    with the_desk(by) as desk, desk.writing() as (book, doing):
        last = day_named(until, "--until") if until else None
        papers.card_approved(book, doing, card, letter=letter, until=last)
    typer.echo(f"{card}: letter {letter}{f', until {until}' if until else ''}")


@app.command("papers")
def papers_command(
    grower: Annotated[str | None, typer.Option(help="Whose paper was seen.")] = None,
    helper: Annotated[str, typer.Option(help="Of which helper of hers; new ones, too.")] = "",
    kind: Annotated[str, typer.Option(help="Which paper: orientation, for example.")] = "",
    until: Annotated[str, typer.Option(help="Its last day, or the word missing.")] = MISSING,
    by: By = None,
) -> None:
    """List all papers with the days they still hold, or write down one that was seen.

    Example: commonrack papers --grower G01 --kind "liability insurance" --until 2027-08-31
    """
    with the_desk(by) as desk:
        if grower is not None:
            last = None if until == MISSING else day_named(until, "--until")
            with desk.writing() as (book, doing):
                seen = KeptPaper(grower, helper, kind, last, "", doing.at)
                papers.paper_seen(book, doing, seen)
            typer.echo(f"{grower}: {kind} {until}")
            return
        with desk.reading() as (book, doing):
            for each in papers.papers(book, doing):
                _print_papers(GrowersPapersBody.from_domain(each))
            print_caps(in_force(book).kitchen.caps)


def print_caps(caps: VotedCaps) -> None:
    turns, standing = count(caps.turns_a_month, "turn"), caps.standing_percent
    typer.echo(f"Rule 16: {turns} a month, standing lots {standing} % of the rack-hours.")


def _print_papers(found: GrowersPapersBody) -> None:
    typer.echo(f"{found.grower_id} {found.name}, {found.farm}")
    for paper in found.papers:
        left = paper.days_left
        held = MISSING if left is None else f"until {paper.until} ({left} days)"
        typer.echo(
            f"    {f'{paper.kind} of {paper.helper}' if paper.helper else paper.kind}: {held}"
        )
