"""GET and POST /harvest-notes/import: many notes from a file, told row by row."""

from __future__ import annotations

from pathlib import PurePath

from fastapi import APIRouter, UploadFile
from fastapi.responses import Response

from api.services.bounds import MOST_BYTES
from api.services.note_import import import_notes, read_table, zone_for_import
from api.services.roles import Act, must
from scheduler.errors import BadInput
from web.pages.visit import AtDoor
from web.views.note_import import WHERE, ImportPage, report_page
from web.views.plain import NoKitchenPage
from web.views.reading import N_

router = APIRouter(include_in_schema=False)
TOO_LARGE = N_("The file is too large: a table of notes has a hundredth of that.")
NO_FILE = N_("Choose a file first.")


@router.get(WHERE)
def choose(door: AtDoor) -> Response:
    with door.reading() as (book, doing):
        must(doing, Act.IMPORT_NOTES)
        if book.settings.last() is None:
            return door.show(NoKitchenPage(), door.reader(book, doing))
        reader = door.reader(book, doing)
    return door.show(ImportPage(), reader)


@router.post(WHERE)
def take_in(door: AtDoor, file: UploadFile | None = None) -> Response:
    """Not once only: a row that is in the book already is not noted again."""
    content = file.file.read(MOST_BYTES + 1) if file else b""
    name = "".join(filter(str.isprintable, PurePath(file.filename or "").name))[:60] if file else ""
    with door.reading() as (book, doing):
        zone, reader = zone_for_import(book, doing), door.reader(book, doing)
    reading = reader.reading
    if not name or len(content) > MOST_BYTES:
        told = reading.say(TOO_LARGE if name else NO_FILE)
        return door.show(ImportPage(faults=(told,), language=reading.language), reader, 422)
    try:
        table = read_table(content, name, zone)
    except BadInput as error:
        return door.show(ImportPage(faults=tuple(map(str, error.faults))), reader, 422)
    with door.writing() as (book, doing):
        reports = import_notes(book, doing, table)
    return door.show(report_page(reports, reading), reader)
