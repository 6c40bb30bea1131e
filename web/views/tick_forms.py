"""The forms of the lines that are ticked off, and what is called what on them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date

from api.services.day_to_tick import JUST_TICKED, Done, LineToTick
from web.views.form import Field, Form
from web.views.reading import N_, Reading

ACTS = {  # of the day sheet
    "weigh in": N_("weigh in"),
    "wash": N_("wash"),
    "cut": N_("cut"),
    "steam": N_("steam"),
    "chill": N_("chill"),
    "fill": N_("fill racks"),
    "start": N_("start"),
    "end": N_("end"),
    "unload": N_("unload"),
    "wash-down": N_("wash-down"),
    "dry check": N_("dry check"),
    "pack": N_("pack"),
    "down": N_("down"),
    "up": N_("back"),
}
OPENS = {  # what opens the form of a line, and what its button says
    "weigh in": (N_("Weigh in"), N_("Weighed in")),
    "start": (N_("Start"), N_("Started")),
    "end": (N_("End"), N_("Ended")),
    "unload": (N_("Unload"), N_("Unloaded")),
    "pack": (N_("Pack"), N_("Packed")),
}
FOR_GOOD = N_("It cannot be taken back.")
CAUTIONS = (  # of the day sheet, where they stand at a line
    N_("Steam burns: lid away from the face, gloves, two people. Under-16s do not cook."),
    N_(
        "Isolate and lock off before opening a dryer for repair; wait for the fans. Repairs: a "
        "licensed electrician."
    ),
    N_(
        "Let samples cool closed before reading: warm ones read falsely. The worst reading "
        "decides. Do not pack above the limit."
    ),
)
HIDDEN = (Field("key", "", "hidden"), Field("pressed", "", "hidden"))
NAMES = {"weighed_g": "weight", "weighed_kg": "weight"}  # from the book's to those here


@dataclass(frozen=True, slots=True)
class Press:
    """A form of a line. summary: it opens first, because it cannot be taken back or asks
    something; "" where one press is all."""

    form: Form
    summary: str = ""


def name_of(done: Done | None, reading: Reading, day: date) -> str:
    """By whom and when; "" where it is not done."""
    return f"{done.by}, {reading.clock_from(done.at.replace(second=0), day)}" if done else ""


def line_forms(each: LineToTick, reading: Reading, where: str) -> Iterator[tuple[str, Form]]:
    """What can be done at a line that is not done, each form with the words that open it."""
    act = each.line.act
    if act in JUST_TICKED:
        yield "", Form(where, reading.say("Done"), HIDDEN, {"key": each.key})
    elif act in OPENS and not waits_for(each, reading):
        if act == "unload" and each.kept and each.kept.ended is None:
            yield _opening("end", each, reading, where)
        yield _opening(act, each, reading, where)


def _opening(act: str, each: LineToTick, reading: Reading, where: str) -> tuple[str, Form]:
    """ended: at a line to unload, that its run has ended."""
    summary, button = (reading.say(text) for text in OPENS[act])
    said = {"key": each.key, "ended": "yes" if act != each.line.act else ""}
    ended = (Field("ended", "", "hidden"),) if act != each.line.act else ()
    return summary, Form(where, button, (*HIDDEN, *ended, *_fields(act, reading)), said)


def waits_for(each: LineToTick, reading: Reading) -> str:
    """What must be ticked off before it can be; "" where nothing must."""
    act, state = each.line.act, each.lot.state if each.lot else ""
    if act in ("end", "unload") and each.kept is None:
        return reading.say("Its start is not ticked off yet.")
    if act == "dry check" and (each.kept is None or each.kept.unloaded is None):
        return reading.say("It is read once its run is unloaded.")
    if act == "pack" and state == "held":
        return reading.say("Held after its dry check: do not pack it.")
    if act == "pack" and state not in ("passed", "packed"):
        if " " in each.line.lots[0].code:  # one of several charges
            return reading.say("Its other racks come first: it is packed once all have passed.")
        return reading.say("It is packed once its dry check is passed.")
    return ""


def _fields(act: str, reading: Reading) -> Iterator[Field]:
    if act == "weigh in":
        yield Field("weight", reading.say("True weight"), "decimal", unit=reading.weight_unit)
    elif act == "pack":
        yield Field("bags", reading.say("Bags of the whole lot"), "whole")
    else:
        yield _when(reading)


def sure_too(form: Form, reading: Reading) -> Form:
    """With a box for a weight that is far from what was noted, and right all the same."""
    sure = Field("sure", reading.say("It is right all the same"), "yes", needed=False)
    return replace(form, fields=(*form.fields, sure))


def _when(reading: Reading) -> Field:
    return Field("at", reading.say("When, if not just now"), "time", needed=False)


def load_form(key: str, reading: Reading, where: str, *, load: int) -> Form:
    fields = (*HIDDEN, Field("load", "", "hidden"))
    return Form(where, reading.say("Done"), fields, {"key": key, "load": str(load)})


def back_form(key: str, reading: Reading, where: str, *, load: int = 0) -> Form:
    """It was not done after all."""
    fields = (*HIDDEN, Field("load", "", "hidden"))
    said = {"key": key, "load": str(load)}
    return Form(f"{where}/back", reading.say("Take back"), fields, said)
