"""Ticking off a line of the day sheet: what it comes to in the book."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime

from api.records.happened import Happening
from api.services.day_to_tick import JUST_TICKED, LineToTick, day_to_tick, note_of
from api.services.deeds import keep_deed
from api.services.errors import NoSuchThing, NotNow
from api.services.lots import door, pack
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from api.services.runs import KeptRun, Start, end, start, unload
from scheduler.domain.clock import Week
from scheduler.errors import BadInput, InputFault
from scheduler.units import Grams


@dataclass(frozen=True, slots=True)
class Tick:
    """What was pressed at a line, and when. load: which basket of a steam line. ended: at a line to
    unload, that its run has ended. weighed_g: at the door. bags: packed."""

    key: str
    at: datetime
    load: int = 0
    ended: bool = False
    weighed_g: Grams | None = None
    bags: int | None = None


def tick_off(book: Book, doing: Doing, day: date, said: Tick) -> LineToTick:
    """Do what the line says: weigh in, start, end or unload a run, pack, or just tick it; the line
    as it was before.

    NoSuchThing where the sheet has no such line (any longer); NotNow and BadInput as the acts
    themselves refuse.
    """
    if said.at > doing.at:
        raise _bad("at", "has not come yet")
    found, week = _line(book, doing, day, said.key)
    if found.line.act in JUST_TICKED:
        _tick(book, doing, week, found, said)
    elif found.line.act in _ACTS:
        _ACTS[found.line.act](book, doing, found, said)
    else:
        raise NotNow(f"{said.key} is not ticked off here")
    return found


def take_back(book: Book, doing: Doing, day: date, said: Tick) -> None:
    """Not done after all; NotNow for what the book keeps for good: what was weighed in, runs, dry
    checks, what was packed."""
    just_tick(book, doing, day, said, done=False)


def just_tick(book: Book, doing: Doing, day: date, said: Tick, *, done: bool) -> LineToTick:
    """Tick a line that is nothing but ticked (wash, cut, steam, chill, fill, wash-down), or take
    that back; the line as it is afterwards. NotNow for any other."""
    if said.at > doing.at:
        raise _bad("at", "has not come yet")
    found, week = _line(book, doing, day, said.key)
    if found.line.act not in JUST_TICKED:
        raise NotNow(f"{said.key} cannot be {'just ticked' if done else 'taken back'}")
    _tick(book, doing, week, found, said, done=done)
    return _line(book, doing, day, said.key)[0]


def _line(book: Book, doing: Doing, day: date, key: str) -> tuple[LineToTick, Week]:
    to_tick = day_to_tick(book, doing, day)
    found = to_tick.line(key)
    if found is None:
        raise NoSuchThing(f"the sheet of {day} has no line {key}")
    return found, found.plan.plan.week


def _tick(
    book: Book, doing: Doing, week: Week, found: LineToTick, said: Tick, *, done: bool = True
) -> None:
    """Once: who ticks what another has ticked changes nothing."""
    must(doing, Act.TICK)
    loads = [each.number for each in found.line.loads]
    if said.load not in (loads or [0]):
        raise _bad("load", f"is none of {', '.join(map(str, loads or [0]))}")
    if (found.done_at(said.load) is not None) == done:
        return
    told = {"load": said.load, "done": done}
    what = Happening("ticked", said.at, doing.person.id, week, said.key, told)
    book.happenings.add(what)
    keep_deed(book, doing, Act.TICK, said.key, load=said.load, done=done)


def _weigh_in(book: Book, doing: Doing, found: LineToTick, said: Tick) -> None:
    if said.weighed_g is None:
        raise _bad("weighed_g", "must be filled in")
    door(book, doing, note_of(found.line), said.weighed_g, at=said.at)


def _start(book: Book, doing: Doing, found: LineToTick, said: Tick) -> None:
    """The run of this line and no other, also where one before it never happened."""
    wanted, dryer_id = found.run, found.line.station_id
    if found.kept is not None or wanted is None:
        raise NotNow(f"that run of {dryer_id} is on record already")
    start(book, doing, Start(dryer_id, said.at, planned=wanted.id))


def _end(book: Book, doing: Doing, found: LineToTick, said: Tick) -> None:
    end(book, doing, _begun(found).number, said.at)


def _unload(book: Book, doing: Doing, found: LineToTick, said: Tick) -> None:
    if said.ended:
        _end(book, doing, found, said)
    else:
        unload(book, doing, _begun(found).number, said.at)


def _begun(found: LineToTick) -> KeptRun:
    if found.kept is None:
        raise NotNow(f"that run of {found.line.station_id} is not on record as started")
    return found.kept


def _pack(book: Book, doing: Doing, found: LineToTick, said: Tick) -> None:
    """Of a lot whose dry check was passed by the person named, and of no other."""
    lot = found.lot
    if said.bags is None:
        raise _bad("bags", "must be filled in")
    if lot is None or lot.state not in ("passed", "packed"):
        state = "not at the door" if lot is None else lot.state
        raise NotNow(f"{note_of(found.line)} is {state}; it is packed once its dry check is passed")
    pack(book, doing, lot.code, version=lot.version, bags=said.bags, at=said.at)


_ACTS: dict[str, Callable[[Book, Doing, LineToTick, Tick], None]] = {
    "weigh in": _weigh_in,
    "start": _start,
    "end": _end,
    "unload": _unload,
    "pack": _pack,
}


def _bad(field: str, message: str) -> BadInput:
    return BadInput((InputFault("tick", None, field, message),))
