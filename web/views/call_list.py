"""What the page "Call list" shows: whom to ring for what, by which number, and who was rung."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import ClassVar

from api.records.house import GrowerEntry
from api.services.calls import Call, Reason, Rung, Why
from scheduler.domain.clock import Week
from web.views.form import Field, Form
from web.views.harvest_notes import ADDRESS as NOTES
from web.views.harvest_notes import days_of, week_links
from web.views.links import Link
from web.views.page import Page
from web.views.plain import FormPage
from web.views.reading import N_, Reading

ADDRESS = f"{NOTES}/call-list"
WHY: dict[Why, str] = {
    "no answer": N_("nobody has told her yet whether it has a place"),
    "turn moved": N_("its turn was changed since she was told"),
    "papers short": N_("papers are short"),
    "did not come": N_("it was expected and did not come"),
}


@dataclass(frozen=True, slots=True)
class ReasonRow:
    """note: a link to it. detail: papers in English, or a turn. rung: by whom and when, or ""."""

    note: Link
    why: str
    turn: str
    papers: tuple[str, ...]
    rung: str


@dataclass(frozen=True, slots=True)
class CallRow:
    """href: "" where there is no number. press: that she was rung about what is open."""

    name: str
    telephone: str
    href: str
    number: Link | None
    reasons: tuple[ReasonRow, ...]
    press: Form | None


@dataclass(frozen=True, slots=True)
class CallListPage(Page):
    template: ClassVar[str] = "call_list.html"
    week: str
    days: str
    weeks: tuple[Link, ...]
    rows: tuple[CallRow, ...]


def call_list_page(
    calls: Iterable[Call],
    week: Week,
    reading: Reading,
    *,
    weeks: Sequence[Week],
    may_keep: bool,
) -> CallListPage:
    """may_keep: whether she may write down a number."""
    return CallListPage(
        week=str(week),
        days=days_of(week, reading),
        weeks=week_links(week, weeks, ADDRESS),
        rows=tuple(_row(each, week, reading, may_keep=may_keep) for each in calls),
    )


def _row(call: Call, week: Week, reading: Reading, *, may_keep: bool) -> CallRow:
    say, grower = reading.say, call.grower
    dialled = "".join(each for each in call.telephone if each.isdigit() or each == "+")
    text = say("Change the number") if call.telephone else say("Write down a number")
    number = Link(text, f"{ADDRESS}/{grower.id}/number?week={week}")
    return CallRow(
        name=f"{grower.id} {grower.name}, {grower.farm}",
        telephone=call.telephone or say("no number in the book"),
        href=f"tel:{dialled}" if dialled else "",
        number=number if may_keep else None,
        reasons=tuple(_reason(each, reading) for each in call.reasons),
        press=rung_form(call, week, reading) if call.open else None,
    )


def rung_form(call: Call, week: Week, reading: Reading) -> Form:
    about = " ".join(each.id for each in call.open)
    fields = (Field("week", "", "hidden"), Field("about", "", "hidden"))
    said = {"week": str(week), "about": about}
    return Form(f"{ADDRESS}/{call.grower.id}/rung", reading.say("Rung"), fields, said)


def _reason(reason: Reason, reading: Reading) -> ReasonRow:
    entry, turn = reason.entry, reason.turn
    name = f"{entry.id} {reason.card.name}, {reading.weight(entry.field_g)}"
    when = "" if turn is None else reading.span(turn.start, turn.end)
    if turn is not None and not turn.stands:
        when = reading.say("no longer: %(when)s", when=when)
    return ReasonRow(
        note=Link(name, f"{NOTES}/{entry.id}"),
        why=reading.say(WHY[reason.why]),
        turn=when,
        papers=reason.papers,
        rung=_rung(reason.rung, reading),
    )


def _rung(rung: Rung | None, reading: Reading) -> str:
    if rung is None:
        return ""
    at = reading.moment(rung.at.replace(second=0, microsecond=0))
    return reading.say("Rung by %(who)s, %(at)s", who=rung.by, at=at)


def number_page(found: GrowerEntry, reading: Reading, *, week: str) -> FormPage:
    """week: of the list that one comes from."""
    say = reading.say
    fields = (
        Field("version", "", "hidden"),
        Field("week", "", "hidden"),
        Field("telephone", say("Number"), needed=False,
              more={"type": "tel", "maxlength": "40", "autocomplete": "off"}),
    )  # fmt: skip
    said = {"version": str(found.version), "week": week, "telephone": found.telephone}
    return FormPage(
        title=say("Number of %(who)s", who=found.grower.name),
        detail=say("The kitchen alone sees it, on the call list."),
        form=Form(f"{ADDRESS}/{found.id}/number", say("Keep"), fields, said),
    )
