"""Rule 18: what the manager pinned, forbade or left free is so, or is named as not kept."""

from __future__ import annotations

from collections.abc import Iterator

from scheduler.domain.clock import Span
from scheduler.domain.plan import Run
from scheduler.domain.wish import Wish
from scheduler.verify.fault import Fault
from scheduler.verify.promised import as_promised
from scheduler.verify.reading import Placed, Reading


def check(reading: Reading) -> Iterator[Fault]:
    """Each wish; only what is firm or under way may stand against one, and then it is named."""
    named = {each.wish for each in reading.plan.unkept}
    for wish in reading.asked.wishes:
        against = tuple(_against(reading, wish))
        for run, code, message in against:
            if wish.number not in named or not _stays(reading, run):
                yield Fault(18, message, run.id, code)
        if not against and wish.number not in named and _waits(reading, wish):
            yield Fault(18, f"{wish.note_id} is pinned and waits, and is not named as not kept")


def _against(reading: Reading, wish: Wish) -> Iterator[tuple[Run, str | None, str]]:
    """What is not as that wish would have it."""
    if wish.kind == "leave free":
        for run in reading.plan.runs:
            if wish.dryer_id in ("", run.dryer_id) and _meets(run, wish.span):
                free = reading.say.when(wish.span) if wish.span else "for now"
                yield run, None, f"{run.dryer_id} has a run, and is to be left free {free}"
        return
    for placed in reading.of_note.get(wish.note_id, ()):
        start = f"starts {reading.say.at(placed.run.start)} on {placed.run.dryer_id}"
        if wish.kind == "forbid" and _is_meant(wish, placed):
            yield placed.run, placed.code, f"{placed.code} {start}, where it is forbidden"
        if wish.kind == "pin" and not any(_is_meant(pin, placed) for pin in _pins(reading, wish)):
            yield placed.run, placed.code, f"{placed.code} {start}, and is pinned elsewhere"


def _pins(reading: Reading, wish: Wish) -> Iterator[Wish]:
    """All pins of its note: a charge may be at any of them."""
    wishes = reading.asked.wishes
    return (each for each in wishes if each.kind == "pin" and each.note_id == wish.note_id)


def _is_meant(wish: Wish, placed: Placed) -> bool:
    if wish.dryer_id and wish.dryer_id != placed.run.dryer_id:
        return False
    return wish.span is None or wish.span.start <= placed.run.start < wish.span.end


def _meets(run: Run, span: Span | None) -> bool:
    """From its start to the end of its unloading and wash-down."""
    ends = [run.released, *(each.end for each in (run.unload, run.wash_down) if each)]
    return span is None or Span(run.start, max(ends)).overlaps(span)


def _stays(reading: Reading, run: Run) -> bool:
    """Whether the run holds a charge that stands as it was promised, firm or under way."""
    return any(
        as_promised(reading, run, charge)
        and (charge.note_id in reading.asked.promised.firm or reading.asked.happened.now)
        for charge in run.charges
    )


def _waits(reading: Reading, wish: Wish) -> bool:
    """Whether some of a pinned note that asks for a place has none."""
    asks = {note.id for note in reading.asked.open_notes()}
    if wish.kind != "pin" or wish.note_id not in asks:
        return False
    placed = reading.of_note.get(wish.note_id, ())
    return not placed or sum(each.charge.prepared_g for each in placed) < placed[0].whole_g
