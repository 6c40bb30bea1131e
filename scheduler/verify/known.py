"""Names in the plan that the kitchen, its notes, cards and growers do not know."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from scheduler.domain.plan import Charge, Run
from scheduler.verify.fault import Fault
from scheduler.verify.reading import Reading


def check(reading: Reading) -> Iterator[Fault]:
    """A name twice: rule 6. Not known: a station rule 11, a note rule 4, a card 6, a grower 12."""
    names = Counter(run.id for run in reading.plan.runs)
    for run_id, times in names.items():
        if times > 1:
            yield Fault(6, f"{times} runs are called {run_id}", run_id)
    known = {placed.note.id for placed in reading.placed}
    for run in reading.plan.runs:
        if run.dryer_id not in reading.in_dryer:
            yield Fault(11, f"The kitchen has no dryer {run.dryer_id}", run.id)
            continue
        for charge in run.charges:
            if charge.note_id not in known:
                yield _stranger(reading, run, charge=charge)


def _stranger(reading: Reading, run: Run, *, charge: Charge) -> Fault:
    note = next((each for each in reading.asked.notes if each.id == charge.note_id), None)
    if note is None:
        rule, what = 4, "no harvest note of that name"
    elif all(card.id != note.card_id for card in reading.asked.cards):
        rule, what = 6, f"no process card {note.card_id}"
    else:
        rule, what = 12, f"no grower {note.grower_id}"
    return Fault(rule, f"{charge.code}: there is {what}", run.id, charge.code)


def check_stations(reading: Reading) -> Iterator[Fault]:
    """Rule 11: the stations that charges are prepared and packed at."""
    kitchen = reading.asked.kitchen
    wash_lines = {each.id for each in kitchen.wash_lines}
    tubs = {each.id for each in kitchen.chill_tubs}
    benches = {each.id for each in kitchen.benches}
    for each in reading.prepared:
        loads = each.loads
        for kind, known, names in (
            ("wash line", wash_lines, [each.how.wash_line_id]),
            ("table", reading.tables, [place.table_id for place in each.how.tables]),
            ("steamer", reading.steamers, [load.steamer_id for load in loads]),
            ("chill tub", tubs, [load.tub_id for load in loads]),
        ):
            for name in sorted(set(names).difference(known)):
                yield each.placed.fault(11, f"uses {kind} {name}, which the kitchen does not have")
    for placed in reading.placed if reading.rules.packing else ():
        after = placed.charge.after
        if after and after.bench_id not in benches:
            yield placed.fault(
                11, f"is packed on bench {after.bench_id}, which the kitchen does not have"
            )
