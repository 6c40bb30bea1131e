"""The page "My settings": language and units."""

from __future__ import annotations

from api.records.people import OwnSettings
from web.languages import LANGUAGES
from web.views.form import Field, Form
from web.views.plain import FormPage
from web.views.reading import Reading

ADDRESS = "/my-settings"
WEIGHTS, TEMPERATURES = ("kg", "lb"), ("C", "F")


def settings_form(own: OwnSettings, reading: Reading) -> Form:
    say = reading.say
    as_kitchen = ("", say("as the kitchen does"))
    languages = tuple((code, each.name) for code, each in LANGUAGES.items())
    degrees = tuple((unit, f"°{unit}") for unit in TEMPERATURES)
    fields = (
        Field(
            "language",
            say("Language"),
            "few",
            options=(("", say("as my browser asks for")), *languages),
        ),
        Field(
            "weight_unit",
            say("Weights"),
            "few",
            options=(as_kitchen, *((unit, unit) for unit in WEIGHTS)),
        ),
        Field("temperature_unit", say("Temperatures"), "few", options=(as_kitchen, *degrees)),
    )
    said = {
        "language": own.language,
        "weight_unit": own.weight_unit,
        "temperature_unit": own.temperature_unit,
    }
    return Form(ADDRESS, say("Keep"), fields, said)


def settings_page(form: Form, reading: Reading) -> FormPage:
    title = reading.say("My settings")
    return FormPage(title, reading.say("How you read all pages. Nobody else sees a change."), form)
