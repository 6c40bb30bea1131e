"""The pages "Pinned and forbidden": what a week's lay-out is to keep to, and what one more would
come to."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar

from api.records.plans import KeptPlan
from api.records.wishes import WishEntry
from scheduler.domain.asked import Asked
from scheduler.domain.plan import Run
from scheduler.domain.rules import TITLES
from scheduler.domain.wish import Wish, WishKind
from scheduler.reasons.judged import Judged, Verdict
from web.views.form import Field, Form
from web.views.links import Link, week_link
from web.views.page import Page
from web.views.reading import N_, Reading

ADDRESS = "/pinned"
NO_LOT = "none"
ONE_RUN_S = 3600  # a span of run starts that is shorter means the one run
KINDS: dict[WishKind, str] = {
    "pin": N_("Pin a lot there"),
    "forbid": N_("Forbid a lot there"),
    "leave free": N_("Leave a dryer free then"),
}
SAYS: dict[WishKind, str] = {
    "pin": N_("%(what)s is pinned: %(where)s"),
    "forbid": N_("%(what)s is forbidden: %(where)s"),
    "leave free": N_("Left free: %(where)s"),
}
VERDICTS: dict[Verdict, str] = {
    "fits": N_("It can be kept beside all that is planned now."),
    "moves others": N_("It can be kept, but not beside all that is planned now."),
    "breaks a rule": N_("It breaks a rule."),
}
NAMES = {"note_id": "note", "dryer_id": "dryer", "start": "when", "end": "to"}


@dataclass(frozen=True, slots=True)
class WishRow:
    """state: whether the plan laid out last keeps it. unkept: why not, as the planner wrote it."""

    says: str
    state: str
    unkept: str
    rule: str
    undo: Form | None


@dataclass(frozen=True, slots=True)
class PinnedPage(Page):
    template: ClassVar[str] = "pinned.html"
    week: Link
    rows: tuple[WishRow, ...]
    form: Form | None
    links: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class JudgedPage(Page):
    """sentence: as the planner wrote it."""

    template: ClassVar[str] = "judged.html"
    title: str
    verdict: str
    sentence: str
    rule: str
    form: Form
    back: Link


def says(asked: Asked, wish: Wish, reading: Reading) -> str:
    """One wish as a sentence; a lot by its crop and its grower's farm."""
    names = {note.id: asked.card(note.card_id).name for note in asked.notes}
    what = f"{wish.note_id} {names.get(wish.note_id, '')}".strip()
    where = ", ".join(_where(asked, wish, reading))
    return reading.say(SAYS[wish.kind], what=what, where=where)


def _where(asked: Asked, wish: Wish, reading: Reading) -> Iterator[str]:
    yield from (each.name for each in asked.kitchen.dryers if each.id == wish.dryer_id)
    span = wish.span
    if span is None:
        return
    if wish.kind != "leave free" and span.seconds < ONE_RUN_S:
        yield reading.say("the run at %(at)s", at=reading.moment(span.start))
        return
    first, last = (reading.local(at) for at in (span.start, span.end))
    at_midnight = all(at.hour == at.minute == 0 for at in (first, last))
    if at_midnight and (last.date() - first.date()).days == 1:
        yield reading.day(first)
    else:
        yield reading.span(span.start, span.end)


def wish_form(
    asked: Asked, kept: KeptPlan | None, said: Mapping[str, str], reading: Reading
) -> Form:
    """kept: the plan laid out last, whose runs may be chosen."""
    say = reading.say
    none = (NO_LOT, say("no lot: the dryer alone"))
    notes = (none, *((note.id, _name(asked, note.id)) for note in asked.open_notes()))
    dryers = (("any", say("any dryer")), *((each.id, each.name) for each in asked.kitchen.dryers))
    fields = (
        Field("kind", say("What is wanted?"), "few",
              options=tuple((kind, say(text)) for kind, text in KINDS.items())),
        Field("note", say("Which lot?"), "choice", options=notes,
              hint=say("All charges of it go there; several pins of a lot leave it the choice.")),
        Field("dryer", say("Which dryer?"), "choice", options=dryers),
        Field("when", say("When?"), "choice", options=tuple(_whens(asked, kept, reading)),
              hint=say("A day: its run starts on it. A run: one of the plan laid out last.")),
        Field("from", say("From"), "time", needed=False, folded=True),
        Field("to", say("To"), "time", needed=False, folded=True,
              hint=say("Only some hours of the day.")),
    )  # fmt: skip
    defaults = {"kind": "pin", "note": NO_LOT, "dryer": "any", "when": "any"}
    where = f"{ADDRESS}/{asked.week}/judged"
    return Form(where, say("Tell me first"), fields, defaults | dict(said))


def _name(asked: Asked, note_id: str) -> str:
    note = asked.note(note_id)
    return f"{note.id} {asked.card(note.card_id).name}, {asked.grower(note.grower_id).farm}"


def _whens(asked: Asked, kept: KeptPlan | None, reading: Reading) -> Iterator[tuple[str, str]]:
    yield "any", reading.say("at any time")
    for day in asked.kitchen.open_days(asked.week.days):
        yield str(day), reading.day(day)
    for run in kept.plan.runs if kept else ():
        at = f"{reading.moment(run.start)}, {run.dryer_id}"
        text = reading.say("the run at %(at)s", at=at)
        yield run_named(run), text


def run_named(run: Run) -> str:
    """In the form."""
    return f"{run.dryer_id} {run.start.isoformat()}"


def pinned_page(
    asked: Asked,
    entries: Sequence[WishEntry],
    kept: KeptPlan | None,
    form: Form | None,
    reading: Reading,
) -> PinnedPage:
    """asked: the week as it is now. form: None for who may only read."""
    rows = (
        _row(asked, each.wish, kept, reading, undo=_undo(each, reading) if form else None)
        for each in entries
    )
    links = [Link(reading.say("Lay out"), f"/lay-out?week={asked.week}")] if form else []
    if kept:
        name = reading.say("Plan %(number)s", number=kept.number)
        links.append(Link(name, f"/plans/{kept.number}"))
    return PinnedPage(week_link(asked.week), tuple(rows), form, tuple(links))


def _undo(entry: WishEntry, reading: Reading) -> Form:
    return Form(f"{ADDRESS}/{entry.week}/{entry.number}/undo", reading.say("Undo"))


def wishes_of(kept: KeptPlan, reading: Reading) -> tuple[WishRow, ...]:
    """What that plan was laid out to keep to, and whether it does."""
    asked = kept.asked
    return tuple(_row(asked, each, kept, reading, undo=None) for each in asked.wishes)


def _row(
    asked: Asked, wish: Wish, kept: KeptPlan | None, reading: Reading, *, undo: Form | None
) -> WishRow:
    """kept: the plan laid out last, which may not know the wish."""
    if kept is None or wish not in kept.asked.wishes:
        state = reading.say("It waits for the next lay-out.")
        return WishRow(says(asked, wish, reading), state, "", "", undo)
    unkept = next((each for each in kept.plan.unkept if each.wish == wish.number), None)
    state = (
        reading.say("Plan %(number)s does not keep it.", number=kept.number)
        if unkept
        else reading.say("Plan %(number)s keeps it.", number=kept.number)
    )
    reason = unkept.reason if unkept else ""
    rule = rule_said(unkept.rule if unkept else None, reading)
    return WishRow(says(asked, wish, reading), state, reason, rule, undo)


def rule_said(rule: int | None, reading: Reading) -> str:
    """ "Rule 6 of the kitchen: One run, one climate"; "" where none is known."""
    if rule is None:
        return ""
    title = reading.say(TITLES[rule])
    return reading.say("Rule %(number)s of the kitchen: %(title)s", number=rule, title=title)


def judged_page(
    asked: Asked, wish: Wish, found: Judged, said: Mapping[str, str], reading: Reading
) -> JudgedPage:
    """said: the form as it was sent, to be sent again."""
    say, where = reading.say, f"{ADDRESS}/{asked.week}"
    anyway = found.verdict == "breaks a rule"
    button = say("Keep it all the same") if anyway else say("Keep it")
    hidden = tuple(Field(name, "", "hidden") for name in said)
    return JudgedPage(
        title=says(asked, wish, reading),
        verdict=say(VERDICTS[found.verdict]),
        sentence=found.sentence,
        rule=rule_said(found.rule, reading),
        form=Form(where, button, hidden, said),
        back=Link(say("Leave it as it is"), where),
    )
