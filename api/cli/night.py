"""night-log and decide: what is seen at a stop in the night, and what a named person decides."""

from __future__ import annotations

from typing import Annotated

import typer

from api.cli.desk import By, app, the_desk
from api.services import night_lines, night_log
from api.services.errors import NotNow
from api.services.house import zone_of
from api.services.night_lines import Wrote
from api.services.night_log import SEEN, NightLog, Seen
from api.services.ports import Book
from scheduler.errors import BadInput, InputFault
from scheduler.wording import duration, temperature

Station = Annotated[str, typer.Argument(metavar="STATION", help="The one that stopped: D3.")]


@app.command("night-log")
def night_log_command(
    station: Station,
    part: Annotated[str, typer.Option(help="Of which racks: R09 B.")] = "",
    seen: Annotated[str, typer.Option(help=f"One of: {', '.join(SEEN)}.")] = "",
    celsius: Annotated[float | None, typer.Option(help="As read.", min=-50, max=200)] = None,
    text: Annotated[str, typer.Option(help="In words.")] = "",
    by: By = None,
) -> None:
    """Read the log of a stop and its clocks; with --seen, write one line more.

    Example: commonrack night-log D3 --part "R09 B" --seen "into the cold" --celsius 4
    """
    with the_desk(by) as desk, desk.writing() as (book, doing):
        number, zone = _stop(book, station), zone_of(book)
        if seen or text:
            wrote = Wrote(part, _seen(seen or "noted"), text, celsius)
            found = night_lines.write_night_log(book, doing, number, wrote)
        else:
            found = night_log.night_log(book, doing, number)
        lines = [f"{each.at.astimezone(zone):%a %H:%M} {_line(each)}" for each in found.entries]
    typer.echo("\n".join([*lines, *_clocks(found)]))


@app.command("decide")
def decide_command(
    station: Station,
    part: Annotated[str, typer.Argument(metavar="PART", help="The racks over the limit: R09 B.")],
    decision: Annotated[str, typer.Option(help="What was decided.")],
    decided_by: Annotated[str, typer.Option(help="Who decided.")],
    discards: Annotated[
        bool | None,
        typer.Option("--discard/--go-on", help="They come to nothing, or go on where they are."),
    ] = None,
    by: By = None,
) -> None:
    """Write down what a named person has decided on racks over the limit."""
    with the_desk(by) as desk, desk.writing() as (book, doing):
        number = _stop(book, station)
        decided = night_lines.Decided(decision, decided_by, discards is True, discards is False)
        found = night_lines.decide(book, doing, number, part=part, decided=decided)
    typer.echo("\n".join(_clocks(found)))


def _stop(book: Book, station: str) -> int:
    found = book.outages.where(station_id=station)
    if not found:
        raise NotNow(f"{station} has not stopped")
    return found[-1].number


def _seen(text: str) -> Seen:
    for each in SEEN:
        if each == text:
            return each
    raise BadInput((InputFault("--seen", None, None, f"is none of: {', '.join(SEEN)}"),))


def _line(entry: night_log.Entry) -> str:
    read = "" if entry.celsius is None else f" {temperature(entry.celsius)}"
    who = f" (decided by {entry.decided_by})" if entry.decided_by else ""
    return " ".join(f"{entry.part} {entry.seen}{read} {entry.text}{who}, {entry.by}".split())


def _clocks(found: NightLog) -> list[str]:
    return [
        f"{each.part}: {duration(each.clock.exposed_s // 60 * 60)} of 4 h"
        + (", over the house limit: a person decides" if each.asks else "")
        for each in found.clocks
    ]
