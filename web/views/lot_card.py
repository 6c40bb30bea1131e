"""What the page "Lot card" shows: whose lot, where it is and was, what happened to it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, ClassVar
from urllib.parse import quote

from api.records.happened import Happening
from api.schemas.answer import PriceBody
from api.services.lot_card import LotCard
from scheduler.units import Grams
from web.views.answer import Bill, bill_shown
from web.views.fees import fees_link
from web.views.form import Field, Form
from web.views.links import Link
from web.views.page import Page
from web.views.part_lot import decision
from web.views.reading import N_, Reading

ADDRESS = "/lot-card"
HAPPENED = {  # what happened, in words
    "at the door": N_("weighed in"),
    "on racks": N_("on racks"),
    "off racks": N_("off racks"),
    "dry check": N_("dry check"),
    "back to dryer": N_("back to dryer"),
    "discarded": N_("discarded"),
    "corrective action": N_("corrective action"),
    "packed": N_("packed"),
    "collected": N_("collected"),
}


@dataclass(frozen=True, slots=True)
class Step:
    when: str
    what: str
    by: str


@dataclass(frozen=True, slots=True)
class LotCardPage(Page):
    """Lot card. state: of the lot, before the door of its note. places: a sentence for each run."""

    template: ClassVar[str] = "lot_card.html"
    title: str
    code: str
    state: str
    facts: tuple[tuple[str, str], ...]
    places: tuple[str, ...]
    steps: tuple[Step, ...]
    bill: Bill | None
    fees: Link | None  # of the whole week
    correct: Link | None = None


def card_link(code: str) -> str:
    return f"{ADDRESS}/{quote(code)}"


def lot_card_page(found: LotCard, reading: Reading) -> LotCardPage:
    lot, entry = found.lot, found.entry
    weight = reading.weight(lot.weighed_g if lot else entry.field_g)
    say = reading.say
    return LotCardPage(
        title=f"{found.card.name}, {weight}",
        code=say("Lot %(code)s", code=lot.code)
        if lot
        else say("Note %(note)s, not weighed in yet", note=entry.id),
        state=say(lot.state if lot else entry.state),
        facts=tuple(_facts(found, reading)),
        places=(*_places(found, reading), *(decision(each, reading) for each in found.decided)),
        steps=tuple(_step(each, found, reading) for each in found.happened),
        bill=_bill(found, reading),
        fees=fees_link(reading, entry.week) if found.bill else None,
    )


def _bill(found: LotCard, reading: Reading) -> Bill | None:
    if found.bill is None:
        return None
    return bill_shown(PriceBody.from_domain(found.bill.price, found.bill.currency), reading)


def correct_link(found: LotCard, reading: Reading) -> Link | None:
    """Where its weight, or its bags, are corrected; None where neither can be."""
    if found.lot is None or found.lot.state not in ("raw", "packed"):
        return None
    return Link(reading.say("Correct it"), f"{card_link(found.lot.code)}/correct")


def correct_form(found: LotCard, reading: Reading) -> Form | None:
    lot, say = found.lot, reading.say
    if lot is None or correct_link(found, reading) is None:
        return None
    if lot.state == "packed":
        value, was = Field("bags", say("Bags of the whole lot"), "whole"), str(lot.bags or "")
    else:
        value = Field("weight", say("True weight"), "decimal", unit=reading.weight_unit)
        was = reading.number(reading.in_unit(lot.weighed_g), 3)
    fields = (Field("version", "", "hidden"), value, Field("why", say("Cause")))
    said = {"version": str(lot.version), value.name: was}
    return Form(f"{card_link(lot.code)}/correct", say("Keep the correction"), fields, said)


def _facts(found: LotCard, reading: Reading) -> Iterator[tuple[str, str]]:
    say, entry = reading.say, found.entry
    yield say("whose"), f"{found.grower.farm}, {found.grower.name}"
    yield say("cut"), found.card.cut
    yield say("arrives"), reading.moment(entry.arrives)
    yield say("in a dryer at the latest"), reading.moment(entry.latest_start)
    if found.lot:
        yield say("told as"), entry.id
    if entry.remark:
        yield say("remark"), entry.remark
    if found.lot and found.lot.bags is not None:
        yield say("bags packed"), reading.number(found.lot.bags)


def _places(found: LotCard, reading: Reading) -> Iterator[str]:
    for run, charge in found.placed:
        last = charge.first_rack + charge.racks - 1
        yield reading.say(
            "%(charge)s in %(dryer)s, racks %(first)s to %(last)s, %(point)s: %(when)s",
            charge=charge.code,
            dryer=run.dryer_id,
            first=charge.first_rack,
            last=last,
            point=reading.temperature(run.set_point_c),
            when=reading.span(run.start, run.end),
        )


def _step(each: Happening, found: LotCard, reading: Reading) -> Step:
    what = reading.say(HAPPENED.get(each.kind, each.kind))
    detail = _detail(each, reading)
    return Step(
        when=reading.moment(each.at),
        what=f"{what}: {detail}" if detail else what,
        by=found.names.get(each.by, each.by),
    )


def _detail(each: Happening, reading: Reading) -> str:
    told, say = each.told, reading.say
    if each.kind == "at the door":
        asked, weighed = (Grams(told[name]) for name in ("asked_g", "weighed_g"))
        said = say(
            "%(weighed)s, told as %(asked)s",
            weighed=reading.weight(weighed),
            asked=reading.weight(asked),
        )
        return f"{said}. {_corrected(told, reading)}".removesuffix(". ")
    if each.kind == "discarded":
        return str(told["why"])
    if each.kind in ("on racks", "back to dryer"):
        return say("%(dryer)s, %(racks)s racks", dryer=told["dryer"], racks=told["racks"])
    if each.kind == "dry check":
        decided = say(DECIDED.get(told["decision"], told["decision"]))
        return say("%(decided)s, decided by %(who)s", decided=decided, who=told["decided_by"])
    if each.kind == "packed":
        said = say("bags: %(bags)s", bags=reading.number(told["bags"]))
        return f"{said}. {_corrected(told, reading)}".removesuffix(". ")
    if each.kind == "collected":
        return say("%(bags)s bags by %(who)s", bags=reading.number(told["bags"]), who=told["to"])
    return ""


def _corrected(told: dict[str, Any], reading: Reading) -> str:
    return reading.say("Corrected: %(why)s", why=told["why"]) if "why" in told else ""


DECIDED = {"pass": N_("passed"), "hold": N_("held")}
