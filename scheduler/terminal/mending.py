"""A stopped dryer and a mended plan as text: lots, clocks, places, calls, then who moves."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime

from rich.console import Group, RenderableType
from rich.text import Text

from scheduler.domain.asked import Asked
from scheduler.domain.mend import Call, Emergency, Mend, ReLaid, TurnMove, Way
from scheduler.domain.part_lot import PartLot
from scheduler.exposure_clock import part_clock
from scheduler.process.exposure import MOST_EXPOSED
from scheduler.wording import count, duration, plain, weight

MOST_WAYS = 6


def emergency_text(asked: Asked, found: Emergency) -> RenderableType:
    """What is known the minute a dryer stops: nothing decided, and nothing said about the food."""
    return Group(*(Text(line) for line in _emergency(asked, found)))


def _emergency(asked: Asked, found: Emergency) -> Iterator[str]:
    yield f"{found.dryer_id} stopped {_at(asked, found.stopped)}"
    for part in found.part_lots:
        yield from _part(asked, part)
    for note_id, ways in found.ways.items():
        yield f"{note_id} may go to"
        yield from (f"  {_way(asked, way)}" for way in ways[:MOST_WAYS])
    yield "Ring, in this order:"
    yield from (f"  {line}" for line in _calls(asked, found.calls))
    for each in found.decisions:
        yield f"{each.who or 'The manager'} is asked to decide: {each.question}"


def _part(asked: Asked, part: PartLot) -> Iterator[str]:
    note = asked.note(part.note_id)
    card = asked.card(note.card_id)
    water, racks = plain(part.water_percent, decimals=0), count(part.racks, "rack")
    yield (
        f"{part.code} {card.name}, {racks}: {_dried(asked, part)} of {duration(card.drying_s)} "
        f"dried, about {water} % water, {duration(part.left_s)} more"
    )
    if part.held:
        yield f"  in {part.held.station_id} by {_at(asked, part.held.since)}"
    if part.dries_on:
        run = part.dries_on
        heat, clock = (
            plain(run.set_point_c, decimals=0),
            duration(part_clock(part, run.start).exposed_s),
        )
        yield (
            f"  dries on in {run.dryer_id} at {heat} C, {_at(asked, run.start)} to "
            f"{_at(asked, run.end)}; its clock then shows {clock} of 4 h"
        )
    if part.stood_s is None:
        most = duration(part.stood_most_s)
        yield f"  how long it stood cut before its run is not known: counted as {most}, the worst"
    if part.hands:
        yield f"  by night: {' and '.join(part.hands)}"


def _dried(asked: Asked, part: PartLot) -> str:
    """From its run on record to the stop; else what its card has more than is left."""
    card = asked.card(asked.note(part.note_id).card_id)
    starts = [
        run.start
        for run in asked.happened.runs
        if run.dryer_id == part.station_id
        and run.start <= part.stopped < run.end
        and any(each.note_id == part.note_id for each in run.charges)
    ]
    if not starts:
        return f"about {duration(max(0, card.drying_s - part.left_s))}"
    return duration(int((part.stopped - max(starts)).total_seconds()))


def _way(asked: Asked, way: Way) -> str:
    ends = f" to {_at(asked, way.ends)}" if way.ends else ""
    until = f"warm until {_at(asked, way.until)} at most"
    start = f"{way.kind} {way.station_id}, {_at(asked, way.start)}{ends}"
    return f"{start}, {count(way.racks, 'rack')}, {until}"


def _calls(asked: Asked, calls: Iterable[Call]) -> Iterator[str]:
    farms = {grower.id: f"{grower.name}, {grower.farm}" for grower in asked.growers}
    for number, call in enumerate(calls, 1):
        who = farms.get(call.who, call.who)
        telephone = f" {call.telephone}" if call.telephone else ""
        notes = f" ({', '.join(call.note_ids)})" if call.note_ids else ""
        yield f"{number}. {who}{telephone}: {call.why}{notes}"


def mend_text(asked: Asked, found: ReLaid) -> RenderableType:
    """Both mends, and of the proposed one who moves from when to when and why."""
    mends = [("small change", found.small)]
    mends += [("whole week", found.whole)] if found.whole else []
    lines = [_mend(asked, name, mend) for name, mend in mends]
    chosen = found.whole if found.proposed == "whole" and found.whole else found.small
    lines += [f"{found.why} Proposed: the {found.proposed} change."]
    lines += [_goes_on(asked, each) for each in chosen.plan.part_lots if each.dries_on]
    lines += [_let_go_on(asked, each) for each in chosen.plan.part_lots if each.goes_on]
    lines += [_discarded(asked, each) for each in chosen.plan.part_lots if each.discarded]
    lines += [_move(asked, each) for each in chosen.moves]
    lines += ["Ring, in this order:", *(f"  {line}" for line in _calls(asked, found.calls))]
    return Group(*(Text(line) for line in lines))


def _goes_on(asked: Asked, part: PartLot) -> str:
    run = part.dries_on
    assert run
    return f"{part.code} dries on in {run.dryer_id}, {_at(asked, run.start)}"


def _let_go_on(asked: Asked, part: PartLot) -> str:
    said = part.goes_on
    assert said
    limit = duration(MOST_EXPOSED)
    return f"{part.code} goes on over {limit} warm, as {said.by} decided {_at(asked, said.at)}"


def _discarded(asked: Asked, part: PartLot) -> str:
    assert part.discarded
    short = weight(part.prepared_g, asked.kitchen.weight_unit)
    return f"{part.code} is discarded, as {part.discarded.by} decided: {short} prepared less"


def _mend(asked: Asked, name: str, mend: Mend) -> str:
    moved = sum(each.was is not None for each in mend.moves)
    worth = weight(mend.worth_g, asked.kitchen.weight_unit)
    lost = f"; less of {', '.join(mend.lost)}" if mend.lost else ""
    kept = count(len(mend.kept), "note")
    return f"The {name}: {worth} prepared, {kept} kept, {count(moved, 'turn')} moved{lost}"


def _move(asked: Asked, move: TurnMove) -> str:
    was = _at(asked, move.was.start) if move.was else "nothing"
    now = _at(asked, move.now.start) if move.now else "no place"
    rule = f" (rule {move.rule})" if move.rule else ""
    notice = f"{plain(move.notice_s / 3600, decimals=0)} h notice"
    turn = f"{move.grower_id} {move.note_id} {move.kind}"
    return f"{turn}: {was} to {now}, {notice}. {move.reason}{rule}"


def _at(asked: Asked, instant: datetime) -> str:
    return f"{instant.astimezone(asked.kitchen.zone):%a %H:%M}"
