"""The form to log in."""

from __future__ import annotations

from web.views.form import Field, Form
from web.views.reading import N_, Reading

# What the services say to who is at the door, so that it is gathered.
TOLD = (
    N_("that name and password do not go together"),
    N_("too many tries to log in; wait a little"),
)


def log_in_form(reading: Reading) -> Form:
    return Form(
        "/log-in",
        reading.say("Log in"),
        (
            Field("to", "", "hidden"),
            Field(
                "login",
                reading.say("Log-in name"),
                more={
                    "autocomplete": "username",
                    "autocapitalize": "none",
                    "spellcheck": "false",
                    "maxlength": "60",
                },
            ),
            Field(
                "password",
                reading.say("Password"),
                "password",
                more={"autocomplete": "current-password", "maxlength": "200"},
            ),
        ),
        key="",  # to come in twice is no harm
    )
