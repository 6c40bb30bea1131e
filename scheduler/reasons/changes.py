"""The changes that are tried for a note without a place, kind by kind, the least first."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from scheduler.domain.asked import Asked
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.kitchen import Dryer, Kitchen
from scheduler.domain.process_card import ProcessCard
from scheduler.domain.rules import RuleBook
from scheduler.process.racks import racks_needed
from scheduler.process.yields import trimmed_g
from scheduler.reasons.sentences import moment
from scheduler.units import Racks, ceil_div
from scheduler.wording import count, listed, temperature

LATER_H = (6, 12, 24, 48)
LEAST_RACKS = 6  # demo: a charge worth a place in a run
MOST_CHARGES = 3  # rule 14


@dataclass(frozen=True, slots=True)
class Change:
    """One change: the rule that it eases, words that end "It would fit if ...", and how it is
    made."""

    rule: int
    words: str
    to: Callable[[Asked], Asked]

    @classmethod
    def of_kitchen(cls, rule: int, words: str, to: Callable[[Kitchen], Kitchen]) -> Change:
        return cls(rule, words, lambda asked: replace(asked, kitchen=to(asked.kitchen)))


def together(asked: Asked, changes: Iterable[Change]) -> Asked:
    """The week with all of those changes."""
    for change in changes:
        asked = change.to(asked)
    return asked


def takes(dryer: Dryer, card: ProcessCard) -> bool:
    """Whether a dryer takes a card's group at a set point that the card tolerates."""
    return card.group in dryer.groups and _reaches(dryer, card)


def _reaches(dryer: Dryer, card: ProcessCard) -> bool:
    return (
        card.set_point_c - card.tolerance_c <= dryer.hottest_c
        and dryer.coolest_c <= card.set_point_c + card.tolerance_c
    )


def later_starts(asked: Asked, note: HarvestNote) -> Iterator[Change]:
    """Later latest starts; none where it lies beyond the week's last closing already."""
    last_closing = asked.kitchen.staffed_spans(asked.week.days)[-1:]
    if not last_closing or note.latest_start >= last_closing[0].end:
        return
    zone = asked.kitchen.zone
    now = moment(note.latest_start, zone)
    for hours in LATER_H:
        later = note.latest_start + timedelta(hours=hours)
        words = f"its latest start were {moment(later, zone)} instead of {now}"
        yield Change(4, words, _starting_by(note.id, later))


def _starting_by(note_id: str, latest: datetime) -> Callable[[Asked], Asked]:
    return lambda asked: _with_note(asked, replace(asked.note(note_id), latest_start=latest))


def splits(asked: Asked, rules: RuleBook, note: HarvestNote) -> Iterator[Change]:
    """The note may be split: first into charges as large as its card asks for, then into smaller
    ones."""
    card = asked.card(note.card_id)
    charges = max(card.most_charges, MOST_CHARGES)
    for least in () if rules.easier else _leasts(asked, note):  # easier: every lot may be split
        own = replace(
            card,
            id=f"{card.id} for {note.id}",
            split_from_racks=Racks(1),
            least_racks=Racks(least),
            most_charges=charges,
        )
        words = f"it were split into up to {charges} charges of at least {count(least, 'rack')}"
        yield Change(14, words, _split_by(note.id, own))


def _leasts(asked: Asked, note: HarvestNote) -> list[int]:
    """Racks of the smallest charge, if the note were (further) split."""
    card, racks = asked.card(note.card_id), racks_of(asked, note)
    smaller = sorted({LEAST_RACKS, ceil_div(racks, MOST_CHARGES)}, reverse=True)
    leasts = [least for least in smaller if least < card.least_racks]
    if not note.may_split or racks < card.split_from_racks:
        leasts.insert(0, card.least_racks)
    return [least for least in leasts if 2 * least <= racks]


def _split_by(note_id: str, own: ProcessCard) -> Callable[[Asked], Asked]:
    """The note gets a card of its own."""

    def to(asked: Asked) -> Asked:
        cards = tuple(card for card in asked.cards if card.id != own.id)
        note = replace(asked.note(note_id), card_id=own.id, may_split=True)
        return _with_note(replace(asked, cards=(*cards, own)), note)

    return to


def racks_of(asked: Asked, note: HarvestNote) -> int:
    """Racks that the whole lot fills in the first dryer that takes it; 0 where none does."""
    card = asked.card(note.card_id)
    prepared_g = trimmed_g(note.field_g, card.trim_loss_percent)
    areas = (each.rack_area_cm2 for each in asked.kitchen.dryers if takes(each, card))
    area = next(areas, None)
    return 0 if area is None else racks_needed(prepared_g, card.g_per_m2, rack_area_cm2=area)


def other_dryers(asked: Asked, note: HarvestNote) -> Iterator[Change]:
    """A dryer that refuses the note's group or climate takes it."""
    kitchen, card = asked.kitchen, asked.card(note.card_id)
    for dryer in kitchen.dryers:
        if takes(dryer, card):
            continue
        lacks = []
        if card.group not in dryer.groups:
            lacks.append(f"took the group {kitchen.group(card.group).name}")
        if not _reaches(dryer, card):
            set_point = temperature(card.set_point_c, kitchen.temperature_unit)
            lacks.append(f"could be set to {set_point}")
        yield Change.of_kitchen(6, f"{dryer.name} {listed(lacks)}", _opened(dryer, card))


def _opened(dryer: Dryer, card: ProcessCard) -> Callable[[Kitchen], Kitchen]:
    opened = replace(
        dryer,
        groups=dryer.groups | {card.group},
        coolest_c=min(dryer.coolest_c, card.set_point_c),
        hottest_c=max(dryer.hottest_c, card.set_point_c),
    )

    def to(kitchen: Kitchen) -> Kitchen:
        dryers = tuple(opened if each.id == dryer.id else each for each in kitchen.dryers)
        return replace(kitchen, dryers=dryers)

    return to


def _with_note(asked: Asked, note: HarvestNote) -> Asked:
    notes = tuple(note if each.id == note.id else each for each in asked.notes)
    return replace(asked, notes=notes)
