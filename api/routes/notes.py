"""/api/v1/notes: harvest notes, with an instant answer."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import PurePath
from typing import Annotated

from fastapi import APIRouter, Query, Response, UploadFile
from fastapi.responses import JSONResponse

from api.records.notes import NoteEntry
from api.routes.headers import (
    Limit,
    Once,
    SeenVersion,
    answer,
    changed,
    created,
    etag,
    page,
)
from api.routes.inside import AtDesk
from api.routes.problems import problems
from api.schemas.answer import answer_in_json
from api.schemas.body import Id, Page, WeekText
from api.schemas.note import CarryOver, NoteBody, NoteChange, NoteEnd, NoteWanted, RowBody
from api.services import notes
from api.services.bounds import MOST_BYTES
from api.services.note_import import import_notes, read_table, zone_for_import
from api.services.noting import Doors, note_with_answer
from api.services.once import Repeatable, Told, once
from api.services.ports import Book
from api.services.roles import Doing
from scheduler.domain.clock import Week
from scheduler.errors import BadInput, InputFault

router = APIRouter(prefix="/api/v1/notes", tags=["Harvest notes"])


def body_of(book: Book, doing: Doing, entry: NoteEntry) -> NoteBody:
    (seen,) = notes.as_seen(book, doing, (entry,))
    return NoteBody.from_domain(seen)


@router.get("", operation_id="notes", summary="Harvest notes", responses=problems(404))
def list_notes(
    desk: AtDesk,
    week: Annotated[WeekText | None, Query(description="only those of that ISO week")] = None,
    after: Annotated[Id | None, Query(description="next of the page before")] = None,
    limit: Limit = 50,
) -> Page[NoteBody]:
    """In order of call; a grower sees her own."""
    with desk.reading() as (book, doing):
        iso = Week.parse(week) if week else None
        found = notes.notes(book, doing, week=iso, after=after, limit=limit + 1)
        seen = notes.as_seen(book, doing, found)
    return page(seen, limit, place=lambda each: each.entry.id, body=NoteBody.from_domain)


@router.post(
    "",
    operation_id="note",
    summary="Tell us what's coming",
    status_code=201,
    response_model=NoteBody,
    responses=problems(409),
)
def add_note(desk: AtDesk, wanted: NoteWanted, request: Once) -> JSONResponse:
    """Noted, with a provisional answer: where it would fit, or the rule that leaves no room.

    Nothing is promised until a plan with it is posted.
    """
    told = note_with_answer(desk, wanted.said(), request, words=answer_in_json, tell=_as_created)
    return answer(told)


def _as_created(book: Book, doing: Doing, entry: NoteEntry) -> Told:
    return created(body_of(book, doing, entry), f"/api/v1/notes/{entry.id}", entry.version)


@router.post(
    "/import", operation_id="import_notes", summary="Many notes at once", responses=problems(409)
)
def import_many(desk: AtDesk, file: UploadFile) -> list[RowBody]:
    """A table with the columns of harvest_notes.csv, as CSV in UTF-8 or .xlsx; told row by row."""
    content = file.file.read(MOST_BYTES + 1)
    if len(content) > MOST_BYTES:
        message = f"has more than {MOST_BYTES:,} bytes"
        raise BadInput((InputFault("file", None, None, message),))
    name = "".join(filter(str.isprintable, PurePath(file.filename or "file").name))[:60]
    with desk.reading() as (book, doing):
        zone = zone_for_import(book, doing)
    table = read_table(content, name, zone)
    with desk.writing() as (book, doing):
        return [RowBody.from_domain(each) for each in import_notes(book, doing, table)]


@router.get("/{note_id}", operation_id="one_note", summary="One note", responses=problems(404))
def read_note(desk: AtDesk, note_id: Id, response: Response) -> NoteBody:
    with desk.reading() as (book, doing):
        entry = notes.note(book, doing, note_id)
        response.headers.update(etag(entry.version))
        return body_of(book, doing, entry)


@router.patch(
    "/{note_id}",
    operation_id="change_note",
    summary="Change a note",
    response_model=NoteBody,
    responses=problems(404, 409, 412, 428),
)
def change_note(
    desk: AtDesk, note_id: Id, wanted: NoteChange, version: SeenVersion, request: Once
) -> JSONResponse:
    """It keeps its place in the order of call."""

    def do(book: Book, doing: Doing) -> Told:
        entry = notes.change(book, doing, note_id, version=version, to=wanted.to())
        return changed(body_of(book, doing, entry), entry.version)

    return _done_once(desk, request, do)


@router.post(
    "/{note_id}/end",
    operation_id="end_note",
    summary="Let go, stand down, nobody came",
    response_model=NoteBody,
    responses=problems(404, 409, 412, 428),
)
def end_note(
    desk: AtDesk, note_id: Id, wanted: NoteEnd, version: SeenVersion, request: Once
) -> JSONResponse:
    """Its turns end with it."""

    def do(book: Book, doing: Doing) -> Told:
        entry = notes.end(book, doing, note_id, version=version, state=wanted.state)
        return changed(body_of(book, doing, entry), entry.version)

    return _done_once(desk, request, do)


@router.post(
    "/{note_id}/carry-over",
    operation_id="carry_over",
    summary="Carry over into a later week",
    status_code=201,
    response_model=NoteBody,
    responses=problems(404, 409, 412, 428),
)
def carry_over(
    desk: AtDesk, note_id: Id, wanted: CarryOver, version: SeenVersion, request: Once
) -> JSONResponse:
    """It ends here and begins anew there: the new note is the answer."""

    def do(book: Book, doing: Doing) -> Told:
        entry = notes.carry_over(book, doing, note_id, version=version, arrives=wanted.arrives)
        return _as_created(book, doing, entry)

    return _done_once(desk, request, do)


def _done_once(desk: Doors, request: Repeatable, do: Callable[[Book, Doing], Told]) -> JSONResponse:
    """A repeat under the same key hears the first answer, not that its version is old by now."""
    with desk.writing() as (book, doing):
        return answer(once(book, doing, request, lambda: do(book, doing)))
