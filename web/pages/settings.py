"""GET and POST /my-settings: language and units."""

from __future__ import annotations

from dataclasses import asdict
from typing import cast

from fastapi import APIRouter
from fastapi.responses import Response

from api.records.people import OwnSettings, TemperatureUnit, WeightUnit
from api.services.own_settings import keep_own_settings, own_settings
from api.services.ports import Book
from api.services.roles import Doing
from scheduler.errors import BadInput
from web.languages import LANGUAGES
from web.pages.posted import AtForm, Taken
from web.pages.visit import AtDoor, Onward
from web.views.reader import Undo
from web.views.settings import ADDRESS, TEMPERATURES, WEIGHTS, settings_form, settings_page

router = APIRouter(include_in_schema=False)


@router.get(ADDRESS)
def my_settings(door: AtDoor) -> Response:
    with door.reading() as (book, doing):
        own, reader = own_settings(book, doing), door.reader(book, doing)
    form = settings_form(own, reader.reading)
    return door.show(settings_page(form, reader.reading), reader)


@router.post(ADDRESS)
def keep(door: AtDoor, posted: AtForm) -> Response:
    with door.reading() as (book, doing):
        before, reader = own_settings(book, doing), door.reader(book, doing)
    reading = reader.reading
    taken = Taken(posted, reading)
    wanted = OwnSettings(
        person_id=before.person_id,
        language=taken.choice("language", ("", *LANGUAGES)),
        weight_unit=cast(WeightUnit, taken.choice("weight_unit", ("", *WEIGHTS))),
        temperature_unit=cast(
            TemperatureUnit, taken.choice("temperature_unit", ("", *TEMPERATURES))
        ),
    )
    try:
        taken.must_be_right()
    except BadInput as error:
        form = settings_form(before, reading).filled(posted.said, posted.key)
        return door.show(settings_page(form.refused(error, reading), reading), reader, 422)

    def do(book: Book, doing: Doing) -> Onward:
        keep_own_settings(book, doing, wanted)
        now = door.reader(book, doing).reading  # told in the language that was just chosen
        fields = tuple(
            (name, value) for name, value in asdict(before).items() if name != "person_id"
        )
        return Onward(ADDRESS, now.say("Kept."), Undo(ADDRESS, now.say("Undo"), fields))

    return door.once(posted, do)
