"""The plan laid beside the kitchen, the cards and the notes: everything looked up once."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from scheduler.domain.asked import Asked
from scheduler.domain.harvest import Grower, HarvestNote
from scheduler.domain.kitchen import Dryer, Steamer, Table
from scheduler.domain.plan import Charge, Plan, Preparation, Run, SteamLoad
from scheduler.domain.process_card import ProcessCard
from scheduler.domain.rules import RuleBook
from scheduler.process.yields import trimmed_g
from scheduler.units import Grams
from scheduler.verify.fault import Fault
from scheduler.verify.hours import Hours
from scheduler.verify.wording import Wording


@dataclass(frozen=True, slots=True)
class Placed:
    """A charge of which the note, card, grower and dryer are known."""

    run: Run
    charge: Charge
    note: HarvestNote
    card: ProcessCard
    grower: Grower
    dryer: Dryer
    whole_g: Grams  # prepared weight of the whole lot

    @property
    def code(self) -> str:
        return self.charge.code

    def fault(self, rule: int, message: str) -> Fault:
        return Fault(rule, f"{self.code} {message}", self.run.id, self.code)


@dataclass(frozen=True, slots=True)
class Prepared:
    """A placed charge whose preparation is planned."""

    placed: Placed
    how: Preparation
    loads: tuple[SteamLoad, ...]  # in order of start

    @classmethod
    def of(cls, placed: Placed, how: Preparation) -> Prepared:
        return cls(placed, how, tuple(sorted(how.steam_loads, key=lambda load: load.start)))


@dataclass(frozen=True, slots=True)
class Reading:
    """What the checks read. Only what is known stands in placed, prepared and in_dryer."""

    asked: Asked
    plan: Plan
    rules: RuleBook
    say: Wording
    staffed: Hours
    tables: Mapping[str, Table]
    steamers: Mapping[str, Steamer]
    placed: tuple[Placed, ...]
    prepared: tuple[Prepared, ...]
    in_dryer: Mapping[str, tuple[Run, ...]]  # by dryer, in order of start
    in_run: Mapping[str, tuple[Placed, ...]]  # by run
    of_note: Mapping[str, tuple[Placed, ...]]  # by note, in order of letter

    @classmethod
    def of(cls, asked: Asked, plan: Plan, *, rules: RuleBook) -> Reading:
        kitchen = asked.kitchen
        placed = _placed(asked, plan)
        in_dryer: dict[str, list[Run]] = {dryer.id: [] for dryer in kitchen.dryers}
        for run in sorted(plan.runs, key=lambda each: (each.start, each.id)):
            in_dryer.get(run.dryer_id, []).append(run)
        in_run, of_note = defaultdict(list), defaultdict(list)
        for each in sorted(placed, key=_by_letter):
            in_run[each.run.id].append(each)
            of_note[each.note.id].append(each)
        return cls(
            asked=asked,
            plan=plan,
            rules=rules,
            say=Wording(kitchen.zone, kitchen.weight_unit, kitchen.temperature_unit),
            staffed=Hours(asked.staffed()),
            tables={table.id: table for table in kitchen.tables},
            steamers={steamer.id: steamer for steamer in kitchen.steamers},
            placed=placed,
            prepared=tuple(
                Prepared.of(each, each.charge.preparation)
                for each in placed
                if each.charge.preparation is not None
            ),
            in_dryer={dryer_id: tuple(runs) for dryer_id, runs in in_dryer.items()},
            in_run={run_id: tuple(charges) for run_id, charges in in_run.items()},
            of_note={note_id: tuple(charges) for note_id, charges in of_note.items()},
        )

    def groups(self, run: Run) -> set[str]:
        """The groups of the charges in a run of the plan: one, where rule 6 is kept."""
        return {placed.card.group for placed in self.in_run.get(run.id, ())}


def _by_letter(placed: Placed) -> tuple[str, datetime, str]:
    """Order of letter; where letters are wrong, order of start."""
    return placed.charge.letter, placed.run.start, placed.run.id


def _placed(asked: Asked, plan: Plan) -> tuple[Placed, ...]:
    notes = {note.id: note for note in asked.notes}
    cards = {card.id: card for card in asked.cards}
    growers = {grower.id: grower for grower in asked.growers}
    dryers = {dryer.id: dryer for dryer in asked.kitchen.dryers}
    found = []
    for run, charge in plan.charges():
        note, dryer = notes.get(charge.note_id), dryers.get(run.dryer_id)
        card = note and cards.get(note.card_id)
        grower = note and growers.get(note.grower_id)
        if note and card and grower and dryer:
            whole_g = trimmed_g(note.field_g, card.trim_loss_percent)
            found.append(Placed(run, charge, note, card, grower, dryer, whole_g))
    return tuple(found)
