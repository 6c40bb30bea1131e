"""A season's records written into an empty book, act by act, by the services that people use."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from datetime import datetime, time, timedelta
from functools import partial
from typing import NamedTuple

from api.records.notes import Lot
from api.records.people import Person
from api.services.asking import asked_of
from api.services.dry_checks import Check, dry_check
from api.services.errors import NotNow
from api.services.handing_out import hand_out
from api.services.held import discard
from api.services.lots import door, pack
from api.services.notes import end as end_note
from api.services.notes import note
from api.services.plans import keep
from api.services.ports import Book
from api.services.posting import OnPurpose, post
from api.services.promises import promised_in
from api.services.roles import Act, Doing, must
from api.services.runs import Start, end, start, unload
from api.services.taking_in import take_in
from api.services.to_check import to_check
from scheduler.domain.clock import local_instant
from scheduler.domain.outage import Happened, StartedCharge
from scheduler.process.dry_check import Reading
from scheduler.season.records import Checked, Gone, LotRecord, Ran, Season, Taken, WeekRecord
from scheduler.units import Racks

POSTED_BEFORE, POSTED_AT = timedelta(days=3), time(15)  # on Friday, for the week after (demo)
WHY = "no dryer was free to dry it on"  # demo
Told = Callable[[int, int], None]


class _Step(NamedTuple):
    """One act: when, before which others of the same time, and how."""

    at: datetime
    order: int
    do: Callable[[Doing], object]


def write_season(book: Book, by: Person, season: Season, told: Told | None = None) -> None:
    """Every week posted, and everything that came of it, in order of time.

    told hears how many acts of how many are done. NotNow where the book holds a kitchen already.
    """
    must(Doing(by, season.span.start), Act.KEEP_HOUSE)
    must_be_empty(book)
    steps = [step for week in season.weeks for step in _Writing(book, week).steps()]
    steps.sort(key=lambda each: each[:2])
    for number, step in enumerate(steps, 1):
        step.do(Doing(by, step.at))
        if told:
            told(number, len(steps))


def must_be_empty(book: Book) -> None:
    """NotNow where the book holds a kitchen already."""
    if book.settings.last() is not None:
        raise NotNow("the book holds a kitchen already: an invented season goes into an empty one")


@dataclass
class _Writing:
    """One week. numbers: of its runs on record, by their ids."""

    book: Book
    record: WeekRecord
    numbers: dict[str, int] = field(default_factory=dict)

    def steps(self) -> Iterator[_Step]:
        monday, zone = self.record.week.monday, self.record.kitchen.zone
        yield _Step(local_instant(monday - POSTED_BEFORE, POSTED_AT, zone), 0, self._post)
        for gone in self.record.gone:
            yield _Step(gone.at, 1, partial(self._goes, gone=gone))
        for ran in self.record.ran:
            yield from self._of_run(ran)
        for lot in self.record.lots:
            yield from self._of_lot(lot)

    def _post(self, doing: Doing) -> None:
        asked = self.record.asked
        known = replace(asked, happened=Happened(outages=asked.happened.outages))
        take_in(self.book, doing, known)
        answers = asked_of(self.book, asked.week, now=doing.at)
        promised = promised_in(self.book, answers, moving=False)
        answers = replace(answers, promised=promised)
        kept = keep(self.book.plans, answers, self.record.plan, laid_out_at=doing.at)
        post(self.book, doing, kept, purpose=OnPurpose(over_caps=True))

    def _goes(self, doing: Doing, gone: Gone) -> None:
        version = note(self.book, doing, gone.note_id).version
        end_note(self.book, doing, gone.note_id, version=version, state=gone.how)

    def _of_run(self, ran: Ran) -> Iterator[_Step]:
        run = ran.run
        out = run.unload.end if run.unload else run.released
        yield _Step(run.start, 5, lambda doing: self._starts(doing, ran))
        yield _Step(run.end, 2, lambda doing: end(self.book, doing, self._number(ran), doing.at))
        yield _Step(out, 3, lambda doing: unload(self.book, doing, self._number(ran), doing.at))

    def _number(self, ran: Ran) -> int:
        return self.numbers[ran.run.id]

    def _starts(self, doing: Doing, ran: Ran) -> None:
        run = ran.run
        racks: Counter[str] = Counter()
        for each in run.charges:
            racks[each.note_id] += each.racks
        on_racks = tuple(StartedCharge(each, Racks(many)) for each, many in racks.items())
        as_planned = ran.posted is not None and ran.posted.charges == run.charges
        said = Start(
            run.dryer_id,
            doing.at,
            run.set_point_c,
            ran.posted.end if ran.posted else run.end,
            () if as_planned else on_racks,
            planned=ran.posted.id if ran.posted and as_planned else "",
            further=self._sent_back(on_racks[0].note_id) if ran.again else 0,
        )
        self.numbers[run.id] = start(self.book, doing, said).number

    def _sent_back(self, note_id: str) -> int:
        """The run of which its racks go on."""
        lot = self.record.lot_of(note_id)
        held = [each for each in (lot.checks if lot else ()) if each.decision == "hold"]
        return self.numbers[held[-1].run_id]

    def _of_lot(self, lot: LotRecord) -> Iterator[_Step]:
        yield _Step(lot.came, 1, lambda doing: door(self.book, doing, lot.note_id, lot.weighed_g))
        for check in lot.checks:
            yield _Step(check.at, 4, partial(self._checks, lot=lot, check=check))
        if lot.discarded_g and lot.checks:
            yield _Step(lot.checks[-1].at, 6, lambda doing: self._discards(doing, lot))
        if lot.packed and lot.bags:
            bags = lot.bags
            yield _Step(lot.packed, 6, lambda doing: self._packs(doing, lot, bags))
        for taken in lot.went_to:
            yield _Step(taken.at, 7, partial(self._hands_out, lot=lot, taken=taken))

    def _lot(self, lot: LotRecord) -> Lot:
        return self.book.lots.where(note_id=lot.note_id)[0]

    def _checks(self, doing: Doing, lot: LotRecord, check: Checked) -> None:
        found, number = self._lot(lot), self.numbers[check.run_id]
        racks = to_check(self.book, doing, found.code, number).racks
        readings = tuple(
            Reading(rack, check.water_activity, check.moisture_percent) for rack in racks
        )
        said = Check(readings, check.decision, check.by, run=number)
        dry_check(self.book, doing, found.code, version=found.version, check=said)

    def _discards(self, doing: Doing, lot: LotRecord) -> None:
        found = self._lot(lot)
        discard(self.book, doing, found.code, version=found.version, why=WHY)

    def _packs(self, doing: Doing, lot: LotRecord, bags: int) -> None:
        found = self._lot(lot)
        pack(self.book, doing, found.code, version=found.version, bags=bags)

    def _hands_out(self, doing: Doing, lot: LotRecord, taken: Taken) -> None:
        found = self._lot(lot)
        hand_out(self.book, doing, found.code, version=found.version, bags=taken.bags, to=taken.to)
