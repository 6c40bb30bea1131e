"""The lot trail: from any code back to the field and forward to whom the bags went.

Every step is a row with the key data elements of receiving, transformation and shipping: lot code
in and out, description, quantity and unit, place, date, from and to, document. Source of the list:
21 CFR 1.1340, 1.1345, 1.1350 (Subpart S) as of 2026-06-11. Whether they apply, the authority says.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from scheduler.domain.plan import Charge
from scheduler.process.yields import dried_g
from scheduler.season.codes import Code, read
from scheduler.season.records import Checked, LotRecord, Ran, Season, WeekRecord
from scheduler.season.sheets import Table, decimal
from scheduler.wording import count

GRAMS = 1000
COLUMNS = (
    "step", "when", "lot code", "input lot code", "product", "quantity", "unit", "place", "from",
    "to", "grower", "harvest told for", "who", "document type", "document number", "remark",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Step:
    """One thing that happened to a lot. event: receiving, transformation and shipping are the key
    events; the others lie between them. out: the code that the step gave it."""

    event: str
    at: datetime
    out: str
    into: str = ""
    product: str = ""
    quantity: Decimal | int | None = None
    unit: str = ""
    place: str = ""
    sent: str = ""
    to: str = ""
    who: str = ""
    document: tuple[str, str] = ("", "")
    remark: str = ""


@dataclass(frozen=True, slots=True)
class LotTrail:
    """All that is known of a lot, in order of time."""

    code: Code
    week: WeekRecord
    lot: LotRecord
    steps: tuple[Step, ...]


class Trails:
    """The season's lots by code: made once, asked often."""

    def __init__(self, season: Season) -> None:
        self.season = season
        self._lots = {lot.code: (week, lot) for week in season.weeks for lot in week.lots}

    def of(self, text: str) -> LotTrail:
        """By the code of a lot, a part, a rack or a bag; LookupError where there is no such.

        A code of a part or a rack tells of the runs that held it alone.
        """
        whole = Code(text.strip())
        code = whole if whole.lot in self._lots else read(text)
        if code.lot not in self._lots:
            raise LookupError(f"there is no lot {text}")
        week, lot = self._lots[code.lot]
        if not _is_there(week, lot, code):
            raise LookupError(f"lot {code.lot} has no {text}")
        steps = tuple(sorted(_steps(week, lot, code), key=lambda each: each.at))
        return LotTrail(code, week, lot, steps)

    def sheet(self) -> Table:
        """Every step of every lot: one table to be sorted as anybody likes."""
        found = (self.of(code) for code in sorted(self._lots))
        return Table(
            "trail", "The lot trail", COLUMNS,
            tuple(row for trail in found for row in trail_rows(trail)),
        )  # fmt: skip


def trail_rows(trail: LotTrail) -> Iterator[tuple[str | int | Decimal | datetime | None, ...]]:
    """The rows of one lot, times by the kitchen's clock."""
    asked, zone = trail.week.asked, trail.week.kitchen.zone
    note = asked.note(trail.lot.note_id)
    grower = asked.grower(note.grower_id)
    harvest = note.arrives.astimezone(zone).date().isoformat()
    for step in trail.steps:
        yield (
            step.event, step.at.astimezone(zone), step.out, step.into, step.product, step.quantity,
            step.unit, step.place, step.sent, step.to, f"{grower.id} {grower.name}", harvest,
            step.who, *step.document, step.remark,
        )  # fmt: skip


def _steps(week: WeekRecord, lot: LotRecord, code: Code) -> Iterator[Step]:
    note = week.asked.note(lot.note_id)
    grower, card = week.asked.grower(note.grower_id), week.asked.card(note.card_id)
    yield Step(
        "receiving", lot.came, lot.code, product=f"{card.name}, raw",
        quantity=decimal(lot.weighed_g, GRAMS), unit="kg", place=week.kitchen.name,
        sent=grower.farm, to=week.kitchen.name, who=lot.by,
        document=("harvest note", note.id),
    )  # fmt: skip
    own = [
        (ran, charge)
        for ran in week.ran
        for charge in ran.run.charges
        if charge.note_id == lot.note_id and _named(charge, code)
    ]
    for ran, charge in own:
        yield from _charge(week, lot, ran, charge=charge)
    runs = {ran.run.id for ran, _ in own}
    for check in lot.checks:
        if check.run_id in runs:
            yield _check(lot, check)
    yield from _after(week, lot)


def _is_there(week: WeekRecord, lot: LotRecord, code: Code) -> bool:
    """Whether its bag was packed and its part or rack has a place."""
    placed = (*(each for _, each in week.charges()), *week.to_come())
    own = [each for each in placed if each.note_id == lot.note_id and _named(each, code)]
    return code.bag <= (lot.bags or 0) and bool(own or not (code.part or code.rack))


def _named(charge: Charge, code: Code) -> bool:
    """Whether the code is of that charge: its part, and a rack among its racks, if one is named."""
    among = range(charge.first_rack, charge.first_rack + charge.racks)
    return code.part in ("", charge.letter) and (not code.rack or code.rack in among)


def _charge(week: WeekRecord, lot: LotRecord, ran: Ran, *, charge: Charge) -> Iterator[Step]:
    run, made = ran.run, charge.preparation
    out = str(Code(lot.code, charge.letter))
    for load in made.steam_loads if made and not ran.again else ():
        yield Step(
            "steam load", load.start, out, lot.code, quantity=decimal(load.grams, GRAMS), unit="kg",
            place=load.steamer_id, remark=f"steamed until {_clock(week, load.steamed)}, as posted",
        )  # fmt: skip
    last = charge.first_rack + charge.racks - 1
    remark = f"{run.set_point_c:g} C, racks {charge.first_rack} to {last}, "
    remark += "on record" if ran.on_record else "as posted"
    yield Step(
        "dried again" if ran.again else "run start", run.start, out, lot.code,
        quantity=decimal(charge.prepared_g, GRAMS), unit="kg", place=run.dryer_id,
        document=("run", run.id), remark=remark,
    )  # fmt: skip
    yield Step(
        "run end", run.end, out, out, quantity=charge.racks, unit="racks", place=run.dryer_id,
        document=("run", run.id),
    )  # fmt: skip


def _check(lot: LotRecord, check: Checked) -> Step:
    remark = f"worst water activity {check.water_activity:g}, moisture {check.moisture_percent:g} %"
    return Step(
        "dry check", check.at, lot.code, lot.code, who=check.by,
        document=("run", check.run_id), remark=f"{remark}; decided: {check.decision}",
    )  # fmt: skip


def _after(week: WeekRecord, lot: LotRecord) -> Iterator[Step]:
    note = week.asked.note(lot.note_id)
    card = week.asked.card(note.card_id)
    if lot.bags is None or lot.packed is None:
        return
    name = f"{card.name}, dried, bags of {card.bag_g} g"
    net = decimal(lot.bags * card.bag_g, GRAMS)
    yield Step(
        "transformation", lot.packed, lot.code, lot.code, name, net, "kg", week.kitchen.name,
        document=("lot card", lot.code), remark=f"{count(lot.bags, 'bag')}; {_spare(week, lot)}",
    )  # fmt: skip
    for taken in lot.went_to:
        yield Step(
            "shipping", taken.at, lot.code, lot.code, name,
            decimal(taken.bags * card.bag_g, GRAMS), "kg", week.kitchen.name,
            sent=week.kitchen.name, to=taken.to,
            document=("lot card", lot.code), remark=count(taken.bags, "bag"),
        )  # fmt: skip


def _spare(week: WeekRecord, lot: LotRecord) -> str:
    """What of the dried weight reckoned is in no bag."""
    reckoned = 0
    for _, charge in week.charges(again=False):
        if charge.note_id == lot.note_id:
            card = week.asked.card(week.asked.note(lot.note_id).card_id)
            reckoned += dried_g(
                charge.prepared_g, card.water_in_percent, water_out_percent=card.water_out_percent
            )
    return f"{reckoned / GRAMS:.1f} kg reckoned by the process card"


def _clock(week: WeekRecord, at: datetime) -> str:
    return f"{at.astimezone(week.kitchen.zone):%H:%M}"
