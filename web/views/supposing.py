"""What may be supposed of a week, in words, and the form of each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from api.records.jobs import Supposing
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.supposition import SuppositionKind
from web.views.form import Field, Form
from web.views.links import Link
from web.views.reading import N_, Reading

ADDRESS = "/suppose"
KINDS: dict[SuppositionKind, str] = {
    "dryer": N_("One more dryer"),
    "dryer and supply": N_("One more dryer, 8 kW more supply"),
    "steamer": N_("One more steamer"),
    "table": N_("One more table"),
    "hand": N_("One more kitchen hand"),
    "evening": N_("Evening shift to 22:00"),
    "order": N_("Notes in order of call"),
    "keeping": N_("Least keeping first"),
    "note": N_("A note otherwise"),
    "down": N_("A dryer down"),
}
SAYS: dict[SuppositionKind, str] = {
    "dryer": N_("One more like the first, on the power supply there is."),
    "dryer and supply": N_("One more like the first, with more power for it."),
    "steamer": N_("One more like the first."),
    "table": N_("One more like the first."),
    "hand": N_("On shift with the hand who is named first, the manager aside."),
    "evening": N_("Monday to Friday; the hands who stay until closing stay as long."),
    "order": N_("First come, first served, instead of the least served first. Weight and the"
                " members' other goals go before order, so that little may change. Both weeks are"
                " laid out from an empty plan."),
    "keeping": N_("Most perishable first, instead of the least served first. Weight and the"
                  " members' other goals go before order, so that little may change. Both weeks are"
                  " laid out from an empty plan."),
    "note": N_("Another weight, another day, or a later latest start of one note."),
    "down": N_("From then to then, known beforehand, as for a repair. A dryer that has stopped is"
               " not supposed: it is written down under Night sheet."),
}  # fmt: skip
CAUTIONS: dict[SuppositionKind, str] = {
    "note": N_("The latest start protects the food. Whether this lot may wait longer is decided"
               " by a person named, not here."),
    "down": N_("Before anybody reaches into a dryer that stands still it is isolated from power"
               " and locked off."),
}  # fmt: skip
SECONDS = (30, 120, 600)  # common practice: a look, a coffee, a break
NAMES = {
    "note_id": "note",
    "dryer_id": "dryer",
    "field_kg": "weight",
    "arrives": "day",
    "latest_start": "latest",
}


@dataclass(frozen=True, slots=True)
class Chosen:
    """One that may be supposed, and what it means."""

    link: Link
    says: str


def chosen_of(week: Week, reading: Reading) -> Iterator[Chosen]:
    for kind, name in KINDS.items():
        where = f"{ADDRESS}?week={week}&what={kind.replace(' ', '+')}"
        yield Chosen(Link(reading.say(name), where), reading.say(SAYS[kind]))


def suppose_form(
    asked: Asked, kind: SuppositionKind, reading: Reading, *, said: dict[str, str]
) -> Form:
    """said: what stands in it already."""
    say = reading.say
    lengths = tuple((str(each), say("%(n)s seconds", n=each)) for each in SECONDS)
    fields = (
        Field("week", "", "hidden"),
        Field("what", "", "hidden"),
        *_own_fields(asked, kind, reading),
        Field("seconds", say("How long may it look?"), "few", options=lengths,
              hint=say("For both weeks together: as it is, and as supposed.")),
        Field("moving", say("Turns that are firm may be moved"), "yes", folded=True,
              hint=say("In both weeks alike, as if nothing were posted.")),
    )  # fmt: skip
    here = {"week": str(asked.week), "what": kind, "seconds": str(SECONDS[0])}
    return Form(ADDRESS, say("Suppose"), fields, said | here)


def _own_fields(asked: Asked, kind: SuppositionKind, reading: Reading) -> tuple[Field, ...]:
    say = reading.say
    days = tuple((str(day), reading.short_day(day)) for day in asked.days)
    if kind == "note":
        notes = tuple((note.id, _note(asked, note.id, reading)) for note in asked.open_notes())
        unit, told = reading.weight_unit, ("", say("as told"))
        return (
            Field("note", say("Which note?"), "choice", options=notes),
            Field("weight", say("Weight"), "decimal", unit=unit, needed=False),
            Field("day", say("Day on which it arrives"), "choice", needed=False,
                  options=(told, *days[:-1]), hint=say("At the same time of day.")),
            Field("latest", say("Day of its latest start"), "choice", needed=False,
                  options=(told, *days)),
            Field("latest_at", say("Latest start at"), "time", needed=False),
        )  # fmt: skip
    if kind == "down":
        dryers = tuple((each.id, f"{each.id} {each.name}") for each in asked.kitchen.dryers)
        return (
            Field("dryer", say("Which dryer?"), "few", options=dryers),
            Field("start", say("Day on which it stops"), "choice", options=days),
            Field("start_at", say("It stops at"), "time"),
            Field("end", say("Day on which it is back"), "choice", options=days),
            Field("end_at", say("It is back at"), "time"),
        )
    return ()


def _note(asked: Asked, note_id: str, reading: Reading) -> str:
    note = asked.note(note_id)
    return f"{note.id} {asked.card(note.card_id).name}, {reading.weight(note.field_g)}"


def named(supposing: Supposing, asked: Asked, reading: Reading) -> str:
    """What is supposed, as a title."""
    what, say = supposing.what, reading.say
    name = say(KINDS[what.kind])
    if what.kind == "note":
        told = (_note(asked, what.note_id, reading), *_otherwise(supposing, reading))
        return f"{name}: {'; '.join(told)}"
    if what.kind == "down" and what.span is not None:
        return f"{name}: {what.dryer_id}, {reading.span(what.span.start, what.span.end)}"
    return name


def _otherwise(supposing: Supposing, reading: Reading) -> Iterator[str]:
    what, say = supposing.what, reading.say
    if what.field_g is not None:
        yield reading.weight(what.field_g)
    if what.arrives is not None:
        yield say("arrives %(at)s", at=reading.moment(what.arrives))
    if what.latest_start is not None:
        yield say("latest start %(at)s", at=reading.moment(what.latest_start))
