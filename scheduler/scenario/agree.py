"""Whether the CSV tables agree with each other and the kitchen: ids, dates, sizes, checks."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from scheduler.errors import InputFault
from scheduler.process.racks import racks_needed
from scheduler.process.yields import dried_g, trimmed_g
from scheduler.scenario.agree_kitchen import takes
from scheduler.scenario.hours import absence_span, instant
from scheduler.scenario.kitchen_rows import KitchenFile
from scheduler.scenario.rows import CardRow, GrowerRow, NoteRow
from scheduler.scenario.tables import Numbered
from scheduler.units import Grams, Racks

_PREPARED_TO_G = 51  # a check column in steps of 0.1 kg may differ by half a step and rounding
_DRIED_TO_G = 6  # in steps of 0.01 kg


def repeated_ids(
    rows: Iterable[Numbered[CardRow] | Numbered[GrowerRow] | Numbered[NoteRow]],
) -> Iterator[InputFault]:
    """Rows whose id an earlier row of the same table has."""
    first: dict[str, int] = {}
    for numbered in rows:
        earlier = first.setdefault(numbered.row.id, numbered.number)
        if earlier != numbered.number:
            yield numbered.fault("id", f"{numbered.row.id!r} stands in row {earlier} already")


def grower_faults(file: KitchenFile, rows: Iterable[Numbered[GrowerRow]]) -> Iterator[InputFault]:
    """Absences that end before they start."""
    for numbered in rows:
        spans = (absence_span(each, file.kitchen.zone) for each in numbered.row.away)
        if any(span.end <= span.start for span in spans):
            yield numbered.fault("away", "ends before it starts")


@dataclass(frozen=True, slots=True)
class NoteCheck:
    """What notes are held against; growers or cards are None where their own table is at fault."""

    file: KitchenFile
    growers: frozenset[str] | None
    cards: Mapping[str, CardRow] | None

    def faults(self, numbered: Numbered[NoteRow]) -> Iterator[InputFault]:
        """Everything about one note that other tables contradict."""
        note = numbered.row
        if self.growers is not None and note.grower_id not in self.growers:
            yield numbered.fault("grower_id", f"no such grower in growers.csv: {note.grower_id!r}")
        yield from self._dates(numbered)
        if self.cards is None:
            return
        card = self.cards.get(note.card_id)
        if card is None:
            yield numbered.fault("card_id", f"no such card in process_cards.csv: {note.card_id!r}")
            return
        yield from self._size(numbered, card)
        yield from self._check_columns(numbered, card)

    def _dates(self, numbered: Numbered[NoteRow]) -> Iterator[InputFault]:
        note, kitchen, week = numbered.row, self.file.kitchen, self.file.scenario.week
        arrives = instant(note.arrives, kitchen.zone)
        day = arrives.astimezone(kitchen.zone).date()
        staffed_days = {each.weekday for each in kitchen.staffed}
        if day not in week.days:
            yield numbered.fault("arrives", f"{day} is not in the week {week}")
        elif day in kitchen.closures or day.weekday() not in staffed_days:
            yield numbered.fault("arrives", f"the kitchen is closed all day on {day}")
        if note.latest_start and instant(note.latest_start, kitchen.zone) < arrives:
            yield numbered.fault("latest_start", "is before the arrival")

    def _rack_counts(self, field_g: int, card: CardRow) -> dict[str, Racks]:
        prepared = trimmed_g(Grams(field_g), card.trim_loss_percent)
        return {
            dryer.id: racks_needed(prepared, card.g_per_m2, rack_area_cm2=dryer.rack_area_cm2)
            for dryer in self.file.dryers
            if takes(dryer, card)
        }

    def _size(self, numbered: Numbered[NoteRow], card: CardRow) -> Iterator[InputFault]:
        note = numbered.row
        counts = self._rack_counts(note.field_g, card)
        room = {dryer.id: dryer.racks for dryer in self.file.dryers}
        splits = note.may_split and any(each >= card.split_from_racks for each in counts.values())
        charges = card.most_charges if splits else 1
        if counts and all(count > charges * room[dryer] for dryer, count in counts.items()):
            racks = " or ".join(f"{count} racks of {dryer}" for dryer, count in counts.items())
            message = f"too large for any dryer, in {charges} at most: needs {racks}"
            yield numbered.fault("field_g", message)

    def _check_columns(self, numbered: Numbered[NoteRow], card: CardRow) -> Iterator[InputFault]:
        note = numbered.row
        prepared = trimmed_g(Grams(note.field_g), card.trim_loss_percent)
        dried = dried_g(prepared, card.water_in_percent, water_out_percent=card.water_out_percent)
        counts = self._rack_counts(note.field_g, card).values()
        agrees = {
            "prepared_g": _near(note.prepared_g, prepared, _PREPARED_TO_G),
            "dried_g": _near(note.dried_g, dried, _DRIED_TO_G),
            "racks": note.racks is None or note.racks in counts,
            "set_point_c": _near(note.set_point_c, card.set_point_c, 0.05),
            "drying_s": _near(note.drying_s, card.drying_s, 0),
            "steam_s": _near(note.steam_s, card.steam_s, 0),
        }
        for field in (name for name, agreed in agrees.items() if not agreed):
            yield numbered.fault(field, f"does not agree with the card {card.id!r}")


def _near(given: float | None, computed: float, most: float) -> bool:
    return given is None or abs(given - computed) <= most
