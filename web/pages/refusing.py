"""A form that the book refused: shown again as it was filled in, with what is in the way."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from api.services.errors import NotNow, OldVersion
from scheduler.errors import BadInput, InputFault
from web.pages.posted import Posted
from web.views.form import Form
from web.views.reading import N_, Reading

KEEPS_FORM = (BadInput, NotNow, OldVersion)  # refusals after which what was typed is kept
CHANGED = N_(
    "Somebody changed it meanwhile: look at it as it is now, and do it again if you still want to."
)
Refusal = BadInput | NotNow | OldVersion
Names = Mapping[str, str]


def refused(
    form: Form, posted: Posted, error: Refusal, reading: Reading, *, names: Names | None = None
) -> tuple[Form, int]:
    """The form as it was sent, and the HTTP status. form: as it would open now."""
    filled = form.filled(posted.said, posted.key)
    if isinstance(error, BadInput):
        return filled.refused(error, reading, names), 422
    if isinstance(error, NotNow):
        return filled.refused(_faults(("", str(error))), reading), 409
    said = {**posted.said, "version": form.said.get("version", "")}
    changed = _faults(("", reading.say(CHANGED)), *_differing(form, posted, reading))
    return form.filled(said, posted.key).refused(changed, reading), 412


def _faults(*told: tuple[str, str]) -> BadInput:
    return BadInput(tuple(InputFault("form", None, name, text) for name, text in told))


def _differing(form: Form, posted: Posted, reading: Reading) -> Iterator[tuple[str, str]]:
    """What stands in the book now, at each field where other words were sent: to send them again is
    then meant."""
    for each in form.fields:
        now = form.said.get(each.name, "")
        if each.kind != "hidden" and posted.said.get(each.name, "") != now:
            value = now or reading.say("nothing")
            if each.kind == "yes":
                value = reading.say("ticked") if now else reading.say("not ticked")
            yield each.name, reading.say("in the book now: %(value)s", value=value)
