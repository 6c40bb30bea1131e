"""Rule 14: how a lot may be split, its letters, and what is left of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from scheduler.domain.plan import Charge, Waiting
from scheduler.process.yields import trimmed_g
from scheduler.verify.fault import Fault
from scheduler.verify.rack_space import whole_racks
from scheduler.verify.reading import Placed, Reading

_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def check(reading: Reading) -> Iterator[Fault]:
    """Each lot's charges, then what waits."""
    for charges in reading.of_note.values():
        yield from lettered(charges)
        if len(charges) > 1 or charges[0].charge.letter:
            yield from _split(charges)
    yield from check_waiting(reading)


def lettered(charges: Sequence[Placed]) -> Iterator[Fault]:
    """A whole lot bears no letter, the charges of a split one A, B, C."""
    letters = tuple(placed.charge.letter for placed in charges)
    if letters not in {("",), tuple(_LETTERS[: len(charges)])}:
        told = ", ".join(letter or "none" for letter in letters)
        message = f"belongs to a lot whose charges bear the letters {told}, not A, B, C in order"
        yield charges[0].fault(14, message)


def _split(charges: Sequence[Placed]) -> Iterator[Fault]:
    first = charges[0]
    needed = min(whole_racks(placed) for placed in charges)
    if not first.note.may_split:
        yield first.fault(14, "belongs to a lot that its grower does not allow to be split")
    elif needed < first.card.split_from_racks:
        least = first.card.split_from_racks
        yield first.fault(14, f"belongs to a lot of {needed} racks, split only from {least} racks")
    elif len(charges) == 1 and first.charge.racks == needed:
        yield first.fault(14, "is the whole lot and needs no letter")
    elif len(charges) > first.card.most_charges:
        message = f"is one of {len(charges)} charges; its lot may have {first.card.most_charges}"
        yield first.fault(14, message)
    else:
        for placed in charges:
            if placed.charge.racks < placed.card.least_racks:
                least = placed.card.least_racks
                yield placed.fault(14, f"has {placed.charge.racks} racks; {least} are the least")


def check_waiting(reading: Reading) -> Iterator[Fault]:
    """In a proved plan what has a place and what waits add up to each note."""
    if reading.plan.proof is None:
        return
    cards = {card.id: card for card in reading.asked.cards}
    told: dict[str, tuple[int, int]] = {}
    parts: list[Charge | Waiting] = [charge for _, charge in reading.plan.charges()]
    for part in (*parts, *reading.plan.waiting):
        field_g, prepared_g = told.get(part.note_id, (0, 0))
        told[part.note_id] = field_g + part.field_g, prepared_g + part.prepared_g
    open_notes = {note.id: note for note in reading.asked.open_notes()}
    for waiting in reading.plan.waiting:
        if waiting.note_id not in open_notes:
            yield Fault(14, f"{waiting.note_id} is said to wait; no open note has that name")
    for note in open_notes.values():
        if note.card_id in cards:
            loss = cards[note.card_id].trim_loss_percent
            due = (note.field_g, trimmed_g(note.field_g, loss))
            yield from _adds_up(reading, note.id, told=told.get(note.id, (0, 0)), due=due)


def _adds_up(
    reading: Reading, note_id: str, *, told: tuple[int, int], due: tuple[int, int]
) -> Iterator[Fault]:
    for kind, has, needs in zip(("field", "prepared"), told, due, strict=True):
        if has != needs:
            message = (
                f"{note_id} weighs {reading.say.weight(needs)} ({kind} weight); what has a place "
                f"and what waits add up to {reading.say.weight(has)}"
            )
            yield Fault(14, message)
            return
