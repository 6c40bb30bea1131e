"""The day sheet as text: the same value that the page and the paper show."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from scheduler.day_sheet.sheet import DaySheet, InTheHouse, Line, LotLabel, NightSheet
from scheduler.wording import clock, clock_from, day_and_month

BOX = "[ ]"


def sheet_text(sheet: DaySheet) -> RenderableType:
    """The whole sheet, to be read or printed at a hundred columns."""
    return Group(*_parts(sheet))


def _parts(sheet: DaySheet) -> Iterator[RenderableType]:
    yield Text(
        f"Day sheet: {day_and_month(sheet.day)}, {sheet.kitchen}, {sheet.state}", style="bold"
    )
    hours = ", ".join(f"{clock(opens)} to {clock(closes)}" for opens, closes in sheet.staffed)
    yield Text(f"Staffed {hours}" if hours else "Closed")
    yield from _house(sheet)
    if sheet.rules == "simple":
        yield Text("Laid out under the easier rules: what happens before and after is not planned.")
    yield Text()
    yield _lines(sheet) if sheet.lines else Text("Nothing to do.")
    yield from _racks(sheet)
    yield from _tonight(sheet.night)
    yield from _papers(sheet)
    yield from _no_place(sheet)
    yield Text()
    yield Text("Mind", style="bold")
    for caution in sheet.cautions:
        yield Text(f"{caution.where}: {caution.text}")


def _house(sheet: DaySheet) -> Iterator[Text]:
    if sheet.in_the_house:
        people = "; ".join(_person(each) for each in sheet.in_the_house)
        yield Text(f"In the house: {people}")


def _person(person: InTheHouse) -> str:
    pair = ", pair" if person.people > 1 else ""
    visits = ", ".join(
        f"{clock(each.start)}-{clock(each.end)} {each.what}".strip()
        if each.end > each.start
        else f"{clock(each.start)} {each.what}"
        for each in person.visits
    )
    return f"{person.name}{pair} {visits}"


def _lines(sheet: DaySheet) -> Table:
    table = Table(box=None, pad_edge=False, show_header=False)
    for width in (5, 4, 9):
        table.add_column(min_width=width, no_wrap=True)
    for ratio in (5, 3, 5):
        table.add_column(ratio=ratio)
    table.add_column(no_wrap=True)
    for line in sheet.lines:
        style = "reverse" if line.changes_dryer else ""
        remark = "; ".join(filter(None, (_until(sheet, line), line.remark, _loads(line))))
        what = "; ".join(filter(None, (_lots(line.lots), line.amount)))
        at = clock(line.at)
        who = "; ".join(line.who)
        table.add_row(
            Text(at, style=style), line.station_id, line.act, what, who, remark, Text(BOX)
        )
    return table


def _lots(lots: tuple[LotLabel, ...]) -> str:
    return ", ".join(f"{lot.code} {lot.crop}, {lot.farm}" for lot in lots)


def _until(sheet: DaySheet, line: Line) -> str:
    return f"to {clock_from(line.until, sheet.day)}" if line.until else ""


def _loads(line: Line) -> str:
    return ", ".join(
        f"{load.number}: {clock(load.start)}-{clock(load.steamed)}" for load in line.loads
    )


def _racks(sheet: DaySheet) -> Iterator[Text]:
    if sheet.rack_maps:
        yield Text()
        yield Text("Racks", style="bold")
    for each in sheet.rack_maps:
        bands = ", ".join(
            f"{band.first} to {band.last} {band.lot.code} {band.lot.crop}" for band in each.bands
        )
        start, end = clock_from(each.start, sheet.day), clock_from(each.end, sheet.day)
        yield Text(f"{each.dryer_id} {start} to {end}: racks {bands} (of {each.racks})")


def _tonight(night: NightSheet | None) -> Iterator[Text]:
    if night is None:
        return
    yield Text()
    yield Text(
        f"Tonight, {clock(night.closes)} to {night.opens:%a} {clock(night.opens)}", style="bold"
    )
    for run in night.runs:
        held = (
            f"cool hold to {clock(run.cool_hold_until)}"
            if run.cool_hold_until
            else "dries past opening"
        )
        ends = f"{run.ends:%a} {clock(run.ends)}"
        yield Text(f"{run.dryer_id} {_lots(run.lots)}: ends {ends}, {held}")
    if not night.runs:
        yield Text("No dryer runs.")
    for person in night.on_call:
        yield Text(f"On call: {person.name}, {person.telephone}")


def _papers(sheet: DaySheet) -> Iterator[Text]:
    if sheet.papers_short:
        yield Text()
        yield Text("Papers short: pencilled, never firm (rule 15)", style="bold")
    for each in sheet.papers_short:
        yield Text(f"{each.lot.code} {each.lot.crop}, {each.lot.farm}: {', '.join(each.missing)}")


def _no_place(sheet: DaySheet) -> Iterator[Text]:
    if sheet.no_place:
        yield Text()
        yield Text("Due today without a place", style="bold")
    for each in sheet.no_place:
        lot = f"{each.lot.code} {each.lot.crop}, {each.lot.farm}, {each.amount}"
        yield Text(f"{lot}: {each.reason}")
