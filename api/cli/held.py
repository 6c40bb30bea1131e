"""held, back-to-dryer, discard, corrective-action: after a dry check that failed."""

from __future__ import annotations

from typing import Annotated
from zoneinfo import ZoneInfo

import typer

from api.cli.acts import LotCode
from api.cli.desk import By, app, the_desk
from api.services import corrective, held, lots
from api.services.held import Back, Held
from api.services.house import zone_of
from scheduler.back_to_dryer import Way
from scheduler.units import HOUR, seconds_from_hours
from scheduler.wording import duration, listed


@app.command("held")
def held_command(by: By = None) -> None:
    """Lots held after their dry check: hours more, where they could dry on, open records."""
    with the_desk(by) as desk, desk.reading() as (book, doing):
        zone = zone_of(book)
        found, records = held.held_lots(book, doing), corrective.correctives(book, doing)
        lines = [_told(each, [_way(way, zone) for way in each.possible]) for each in found]
    lines += [
        f"Corrective action {each.number}, lot {each.lot.code}: "
        + (f"missing {listed(each.missing)}" if each.missing else "to be closed")
        for each in records
    ]
    typer.echo("\n".join(lines) or "Nothing is held, and no corrective action is open.")


def _told(each: Held, ways: list[str]) -> str:
    if each.hours is None:
        return f"{each.lot.code}: within the limits; no more hours follow from its readings"
    asks = " The manager decides: it failed a second time." if each.manager_decides else ""
    hours = f"{each.hours.low:.1f} to {each.hours.high:.1f}"
    where = "; ".join(ways) or "no dryer is free for it"
    return f"{each.lot.code}: {duration(each.dries_s)} more ({hours} h). {where}.{asks}"


def _way(way: Way, zone: ZoneInfo) -> str:
    start, end = (at.astimezone(zone) for at in (way.start, way.end))
    return f"{way.dryer.id} {start:%a %H:%M} to {end:%a %H:%M}"


@app.command("back-to-dryer")
def back_command(
    lot: LotCode,
    dryer: Annotated[str, typer.Argument(metavar="DRYER", help="Its id: D1.")],
    hours: Annotated[
        float | None, typer.Option(help="How long; as proposed, if not said.", min=0.05, max=72)
    ] = None,
    by: By = None,
) -> None:
    """A held lot dries on; its packing turn moves with it, and its grower hears of it.

    Example: commonrack back-to-dryer 26-231-G01-TOM D1
    """
    with the_desk(by) as desk, desk.writing() as (book, doing):
        version = lots.lot(book, doing, lot).version
        back = Back(dryer, None if hours is None else seconds_from_hours(hours))
        done = held.send_back(book, doing, lot, version=version, back=back)
        last = book.messages.last(grower_id=done.lot.grower_id)
    lasts = (done.run.run.end - done.run.run.start).total_seconds() / HOUR
    typer.echo(f"Run {done.run.number} in {dryer}, {lasts:.1f} h. Packing: {done.packing.became}.")
    if last is not None:
        typer.echo(f"To {last.grower_id}: {last.text}")


@app.command("discard")
def discard_command(
    lot: LotCode,
    why: Annotated[str, typer.Option(help="Why it comes to nothing.")],
    by: By = None,
) -> None:
    """A held lot comes to nothing; its turns end, and its grower hears of it."""
    with the_desk(by) as desk, desk.writing() as (book, doing):
        version = lots.lot(book, doing, lot).version
        gone = held.discard(book, doing, lot, version=version, why=why)
    typer.echo(f"{gone.code} is {gone.state}.")


@app.command("corrective-action")
def corrective_command(
    number: Annotated[int, typer.Argument(metavar="NUMBER", help="As in commonrack held.", min=1)],
    said: Annotated[
        list[str] | None,
        typer.Option(
            "--said",
            help=f"{', '.join(corrective.FIELDS)}: --said cause='two slices lay on each other'.",
        ),
    ] = None,
    close: Annotated[bool, typer.Option("--close", help="It is complete.")] = False,
    by: By = None,
) -> None:
    """Write on the record of a dry check that failed, and close it once nothing is missing."""
    told = dict(each.split("=", 1) for each in said or () if "=" in each)
    with the_desk(by) as desk, desk.writing() as (book, doing):
        found = corrective.write_corrective(book, doing, number, told, close=close)
    state = "closed" if found.closed else "open"
    missing = f"; missing {listed(found.missing)}" if found.missing else ""
    typer.echo(f"Corrective action {number} is {state}{missing}.")
