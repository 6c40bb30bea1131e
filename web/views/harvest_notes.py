"""The page "Harvest notes": what is coming in a week, narrowed and in the order one asks for."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

from api.services.coming import Coming
from scheduler.domain.clock import Week
from scheduler.units import Grams
from web.views.form import Field, Form
from web.views.links import Link
from web.views.page import Page
from web.views.reading import N_, Reading
from web.views.week import Figure

ADDRESS = "/harvest-notes"
ANY = ""
SHOWN: dict[str, tuple[str, Callable[[Coming], bool]]] = {
    "asking": (N_("all that ask for a place"), lambda each: each.entry.asks),
    "short": (N_("papers short"), lambda each: each.entry.asks and bool(each.seen.papers_short)),
    "waiting": (N_("what waits"), lambda each: bool(each.waits)),
    "standing": (N_("standing lots"), lambda each: each.entry.standing),
    "ended": (N_("all that ended"), lambda each: not each.entry.asks),
    "every": (N_("every note"), lambda each: True),
}
ORDERS: dict[str, tuple[str, Callable[[Coming], Any]]] = {
    "called": (N_("order of call"), lambda each: each.entry.called),
    "arrives": (N_("arrival"), lambda each: each.entry.arrives),
    "latest": (N_("least keeping first"), lambda each: each.entry.latest_start),
    "weight": (N_("heaviest first"), lambda each: -each.entry.field_g),
    "grower": (N_("grower"), lambda each: each.grower.name),
    "crop": (N_("crop"), lambda each: each.card.name),
}


@dataclass(frozen=True, slots=True)
class Narrowed:
    """How the list is to be: of which week, what of it, whose, which crop, in which order."""

    week: Week
    show: str = "asking"
    grower: str = ANY
    crop: str = ANY
    order: str = "called"

    def of(self, found: Iterable[Coming]) -> list[Coming]:
        """What is not among the choices narrows nothing."""
        _, wanted = SHOWN.get(self.show, SHOWN["asking"])
        _, place = ORDERS.get(self.order, ORDERS["called"])
        kept = (each for each in found if wanted(each))
        kept = (each for each in kept if self.grower in (ANY, each.grower.id))
        return sorted((each for each in kept if self.crop in (ANY, each.card.id)), key=place)


@dataclass(frozen=True, slots=True)
class NoteRow:
    """One note in the list. short: what of its papers is, in the planner's words.

    waits: where it is told what it waits for, and how much of it does; None where none of it does.
    """

    href: str
    id: str
    grower: str
    farm: str
    crop: str
    weight: str
    arrives: str
    latest: str
    state: str
    standing: bool
    waits: Link | None
    short: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NotesPage(Page):
    """narrow: the form that narrows the list. noted: whether the week has any note at all."""

    template: ClassVar[str] = "harvest_notes.html"
    week: str
    days: str
    weeks: tuple[Link, ...]
    figures: tuple[Figure, ...]
    narrow: Form
    rows: tuple[NoteRow, ...]
    noted: bool
    links: tuple[Link, ...]
    call: Form | None


def state_of(each: Coming) -> str:
    """While nobody has decided, whether its papers are in order."""
    if each.entry.state != "noted":
        return each.entry.state
    return "papers short" if each.seen.papers_short else "in order"


def notes_page(
    found: Sequence[Coming],
    narrowed: Narrowed,
    reading: Reading,
    *,
    weeks: Sequence[Week],
    links: tuple[Link, ...],
    may_call: bool,
) -> NotesPage:
    """weeks: all that have notes; links: what else may be done here."""
    week = narrowed.week
    return NotesPage(
        week=str(week),
        days=days_of(week, reading),
        weeks=week_links(week, weeks, ADDRESS),
        figures=tuple(_figures(found, reading)),
        narrow=_narrow(found, narrowed, reading),
        rows=tuple(_row(each, reading) for each in narrowed.of(found)),
        noted=bool(found),
        links=links,
        call=call_form(week, reading) if may_call else None,
    )


def days_of(week: Week, reading: Reading) -> str:
    first, last = reading.day(week.days[0]), reading.day(week.days[-1])
    year = week.days[-1].year
    return reading.say("%(first)s to %(last)s %(year)s", first=first, last=last, year=year)


def week_links(week: Week, weeks: Sequence[Week], address: str) -> tuple[Link, ...]:
    every = sorted({week, *weeks}, key=lambda each: each.monday)
    return tuple(Link(str(each), f"{address}?week={each}", each == week) for each in every)


def call_form(week: Week, reading: Reading) -> Form:
    said = {"week": str(week)}
    button = reading.say("Note this week's standing lots")
    return Form(f"{ADDRESS}/standing-lots/call", button, (Field("week", "", "hidden"),), said)


def _figures(found: Sequence[Coming], reading: Reading) -> Iterator[Figure]:
    asking = [each for each in found if each.entry.asks]
    say, number = reading.say, reading.number
    weight = reading.weight(Grams(sum(each.entry.field_g for each in asking)))
    placed = sum(each.entry.state in ("pencilled", "firm", "at the door") for each in asking)
    short = sum(bool(each.seen.papers_short) for each in asking)
    yield Figure(weight, say("of harvest as it is brought"))
    yield Figure(
        number(len(asking)),
        reading.say_many("note asks for a place", "notes ask for a place", len(asking)),
    )
    yield Figure(number(placed), say("of them pencilled, firm or at the door"))
    yield Figure(number(short), reading.say_many("has papers short", "have papers short", short))


def _narrow(found: Sequence[Coming], said: Narrowed, reading: Reading) -> Form:
    say = reading.say
    growers = {each.grower.id: f"{each.grower.id} {each.grower.name}" for each in found}
    crops = {each.card.id: each.card.name for each in found}
    fields = (
        Field("week", "", "hidden"),
        Field("show", say("Show"), "choice", options=_options(SHOWN, reading)),
        Field("grower", say("Grower"), "choice", options=_any(say("all growers"), growers)),
        Field("crop", say("Crop"), "choice", options=_any(say("all crops"), crops)),
        Field("order", say("In order of"), "choice", options=_options(ORDERS, reading)),
    )
    values = {"week": str(said.week), "show": said.show, "grower": said.grower, "crop": said.crop,
              "order": said.order}  # fmt: skip
    return Form(ADDRESS, say("Narrow the list"), fields, values, key="")


def _options(known: dict[str, tuple[str, Any]], reading: Reading) -> tuple[tuple[str, str], ...]:
    return tuple((name, reading.say(text)) for name, (text, _) in known.items())


def _any(text: str, known: dict[str, str]) -> tuple[tuple[str, str], ...]:
    return ((ANY, text), *sorted(known.items(), key=lambda each: each[1]))


def _row(each: Coming, reading: Reading) -> NoteRow:
    entry = each.entry
    return NoteRow(
        href=f"{ADDRESS}/{entry.id}",
        id=entry.id,
        grower=each.grower.name,
        farm=each.grower.farm,
        crop=each.card.name,
        weight=reading.weight(entry.field_g),
        arrives=reading.moment(entry.arrives),
        latest=reading.moment(entry.latest_start),
        state=reading.say(state_of(each)),
        standing=entry.standing,
        waits=_waits(each, reading),
        short=each.seen.papers_short if entry.asks else (),
    )


def _waits(each: Coming, reading: Reading) -> Link | None:
    """What has a place and what waits, where it is only a part that does."""
    if not each.waits:
        return None
    placed = Grams(each.entry.field_g - each.waits_g)
    told = reading.say("waits for a place")
    if placed > 0:
        told = reading.say(
            "%(placed)s of it has a place, %(rest)s waits for one",
            placed=reading.weight(placed),
            rest=reading.weight(each.waits_g),
        )
    return Link(told, f"/waiting-list?plan={each.waits}")
