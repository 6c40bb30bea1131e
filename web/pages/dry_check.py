"""GET and POST /dry-checks/{lot}/{run}: readings, what they come to, the decision and whose."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict, replace
from datetime import datetime

from fastapi import APIRouter
from fastapi.responses import Response

from api.routes.runs import RunNumber
from api.schemas.body import Id
from api.schemas.lot import CheckWanted, ReadingWanted
from api.services.dry_checks import count, dry_check
from api.services.errors import NotNow, OldVersion
from api.services.ports import Book
from api.services.roles import Doing
from api.services.to_check import ToCheck, due, to_check
from scheduler.errors import BadInput, InputFault
from scheduler.process.dry_check import Counted
from scheduler.process.dry_check import Reading as RackReading
from web.pages.posted import AtForm, Posted, Taken
from web.pages.pressed import when
from web.pages.visit import AtDoor, Onward, Visit
from web.views.dry_check import (
    ADDRESS,
    DECISIONS,
    OTHER,
    address_of,
    check_form,
    counted_outcome,
    dry_check_page,
    dry_checks_page,
)
from web.views.form import Form
from web.views.reader import Reader
from web.views.reading import N_, Reading

router = APIRouter(include_in_schema=False)
ONE = f"{ADDRESS}/{{code}}/{{run}}"
MEANWHILE = N_(
    "Somebody else has decided meanwhile. Look at it, then keep yours if it still holds."
)
FIELDS = {"water_activity": "activity", "moisture_percent": "moisture", "rack": "rack"}


@router.get(ADDRESS)
def dry_checks(door: AtDoor) -> Response:
    with door.reading() as (book, doing):
        reader = door.reader(book, doing)
        page = dry_checks_page(due(book, doing), reader.reading)
    return door.show(page, reader)


@router.get(ONE)
def one(door: AtDoor, code: Id, run: RunNumber) -> Response:
    found, reader, who, _ = _opened(door, code, run)
    form = check_form(found, reader.reading, reader.name)
    return door.show(dry_check_page(found, reader.reading, form=form, who=who), reader)


@router.post(ONE)
def checked(door: AtDoor, code: Id, run: RunNumber, posted: AtForm) -> Response:
    """Counted only, or decided and kept, as the button says."""
    found, reader, who, now = _opened(door, code, run)
    reading = reader.reading
    form = check_form(found, reading, "").filled(posted.said, posted.key)
    counted = None
    try:
        readings = _readings(posted, found, reading)
        with door.reading() as (book, doing):
            come_to = count(book, doing, code, readings=readings, run=run)
        counted = counted_outcome(found, reading, readings=readings, come_to=come_to)
        if posted.said.get("do") == "count":
            page = dry_check_page(found, reading, form=form, who=who, counted=counted)
            return door.show(page, reader)
        return _keep(door, found, posted, now=now, reading=reading, counted=(readings, come_to))
    except BadInput as error:
        form, status = form.refused(error, reading), 422
    except NotNow as error:
        told = BadInput((InputFault("form", None, "", str(error)),))
        form, status = form.refused(told, reading), 409
    except OldVersion:
        found, *_ = _opened(door, code, run)  # as it is by now
        form, status = _once_more(form, found, reading), 412
    page = dry_check_page(found, reading, form=form, who=who, counted=counted)
    return door.show(page, reader, status)


def _once_more(form: Form, found: ToCheck, reading: Reading) -> Form:
    """With what was written, for the lot as it is by now."""
    told = BadInput((InputFault("form", None, "", MEANWHILE),))
    said = {**form.said, "version": str(found.lot.version)}
    return form.filled(said, form.key).refused(told, reading)


def _opened(door: Visit, code: str, run: int) -> tuple[ToCheck, Reader, str, datetime]:
    with door.reading() as (book, doing):
        found = to_check(book, doing, code, run)
        return found, door.reader(book, doing), doing.person.id, doing.at


def _keep(
    door: Visit,
    found: ToCheck,
    posted: Posted,
    *,
    now: datetime,
    reading: Reading,
    counted: tuple[tuple[RackReading, ...], Counted],
) -> Response:
    readings, come_to = counted
    taken, code, run = Taken(posted, reading), found.lot.code, found.run.number
    version, decision = taken.whole("version"), taken.choice("decision", DECISIONS)
    values = {"decision": decision, "decided_by": taken.text("decided_by"), "run": run}
    at = when(taken, now)
    if decision == "pass" and come_to.decision == "hold":
        taken.fault("decision", reading.say("cannot be to pass: the readings speak for holding it"))
    wanted = taken.body(CheckWanted, values | {"readings": [asdict(each) for each in readings]})
    check = replace(wanted.check(), at=at)

    def do(book: Book, doing: Doing) -> Onward:
        dry_check(book, doing, code, version=version, check=check)
        return Onward(address_of(code, run), reading.say("Kept."))

    return door.once(posted, do)


def _readings(posted: Posted, found: ToCheck, reading: Reading) -> tuple[RackReading, ...]:
    """Of every rack of which anything was written; BadInput with every fault, at its field."""
    taken = Taken(posted, reading)
    racks = [each for each in (*map(str, found.racks), OTHER) if _written(posted, each)]
    if not racks:
        taken.fault(f"activity-{found.racks[0]}", reading.say("at least one rack must be read"))
    values = {
        rack: {
            "rack": taken.whole(f"rack-{rack}") if rack == OTHER else int(rack),
            "water_activity": taken.number(f"activity-{rack}"),
            "moisture_percent": taken.number(f"moisture-{rack}"),
        }
        for rack in racks
    }
    taken.must_be_right()
    if OTHER in values and values[OTHER]["rack"] not in found.among:
        first, last = found.among[0], found.among[-1]
        told = reading.say("its racks are %(first)s to %(last)s", first=first, last=last)
        taken.fault(f"rack-{OTHER}", told)
        taken.must_be_right()
    return tuple(_within(taken, values))


def _written(posted: Posted, rack: str) -> bool:
    names = (f"{name}-{rack}" for name in FIELDS.values())
    return any(posted.said.get(name, "").strip() for name in names)


def _within(taken: Taken, values: Mapping[str, Mapping[str, float]]) -> Iterator[RackReading]:
    """Under the bounds that the API has for a reading."""
    faults: list[InputFault] = []
    for rack, said in values.items():
        try:
            yield RackReading(**taken.body(ReadingWanted, said).model_dump())
        except BadInput as error:
            faults += (
                replace(each, field=f"{FIELDS[each.field or 'rack']}-{rack}")
                for each in error.faults
            )
    if faults:
        raise BadInput(tuple(faults))
