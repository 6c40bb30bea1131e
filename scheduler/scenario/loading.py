"""From a folder of files to all that a lay-out is asked about: whole, or not at all."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

from scheduler.domain.asked import Asked
from scheduler.errors import BadInput, InputFault, UnknownScenario
from scheduler.scenario.agree import NoteCheck, grower_faults, repeated_ids
from scheduler.scenario.agree_happened import happened_faults
from scheduler.scenario.agree_kitchen import card_faults, kitchen_faults
from scheduler.scenario.domain_values import to_card, to_grower, to_happened, to_note
from scheduler.scenario.kitchen_file import read_kitchen_file, to_kitchen
from scheduler.scenario.kitchen_rows import KitchenFile
from scheduler.scenario.rows import CardRow, GrowerRow, HappenedRow, NoteRow
from scheduler.scenario.tables import Numbered, read_table

CARDS, GROWERS, NOTES = "process_cards.csv", "growers.csv", "harvest_notes.csv"
HAPPENED = "happened.csv"
BUNDLED = "scenarios"  # the data package


@dataclass(frozen=True, slots=True)
class _Read:
    """The rows of all files that passed on their own."""

    kitchen: KitchenFile | None
    cards: list[Numbered[CardRow]]
    growers: list[Numbered[GrowerRow]]
    notes: list[Numbered[NoteRow]]
    happened: list[Numbered[HappenedRow]]


def bundled() -> tuple[str, ...]:
    """Names of the scenarios that come with Commonrack, in alphabetical order."""
    folders = (each for each in files(BUNDLED).iterdir() if each.is_dir())
    return tuple(sorted(each.name for each in folders if (each / NOTES).is_file()))


def load(name_or_path: str | Path) -> Asked:
    """A bundled scenario by its name, or a folder of the same files by its path.

    A bare name means the bundled one; write ./august for a folder called august here.
    Raises BadInput with every fault found in all files, UnknownScenario where there is nothing.
    """
    folder = _folder(name_or_path)
    faults: list[InputFault] = []
    read = _read(folder, faults)
    faults += _disagreements(read, frozenset(each.file for each in faults))
    if faults or read.kitchen is None:
        raise BadInput(tuple(faults))
    return _asked(folder.name, read.kitchen, read)


def _folder(name_or_path: str | Path) -> Traversable:
    if isinstance(name_or_path, str) and name_or_path in bundled():
        return files(BUNDLED) / name_or_path
    path = Path(name_or_path).resolve()
    if not path.is_dir():
        message = f"no such folder, nor a bundled scenario; bundled are {', '.join(bundled())}"
        raise UnknownScenario((InputFault(str(name_or_path), None, None, message),))
    return path


def _read(folder: Traversable, faults: list[InputFault]) -> _Read:
    happened = (folder / HAPPENED).is_file()
    return _Read(
        kitchen=read_kitchen_file(folder, faults),
        cards=read_table(folder, CARDS, CardRow, faults),
        growers=read_table(folder, GROWERS, GrowerRow, faults),
        notes=read_table(folder, NOTES, NoteRow, faults),
        happened=read_table(folder, HAPPENED, HappenedRow, faults) if happened else [],
    )


def _disagreements(read: _Read, at_fault: frozenset[str]) -> Iterator[InputFault]:
    """Faults between tables; a table that is itself at fault is not held against the others."""
    yield from repeated_ids(read.cards)
    yield from repeated_ids(read.growers)
    yield from repeated_ids(read.notes)
    if read.kitchen is None:
        return
    yield from kitchen_faults(read.kitchen)
    yield from card_faults(read.kitchen, read.cards)
    yield from grower_faults(read.kitchen, read.growers)
    check = NoteCheck(
        read.kitchen,
        None if GROWERS in at_fault else frozenset(each.row.id for each in read.growers),
        None if CARDS in at_fault else {each.row.id: each.row for each in read.cards},
    )
    for note in read.notes:
        yield from check.faults(note)
    notes = None if NOTES in at_fault else frozenset(each.row.id for each in read.notes)
    yield from happened_faults(read.kitchen, read.happened, notes=notes)


def _asked(name: str, file: KitchenFile, read: _Read) -> Asked:
    zone = file.kitchen.zone
    cards = {each.row.id: to_card(each.row) for each in read.cards}
    return Asked(
        name=name,
        title=file.scenario.title,
        kitchen=to_kitchen(file),
        week=file.scenario.week,
        cards=tuple(cards.values()),
        growers=tuple(to_grower(each.row, zone) for each in read.growers),
        notes=tuple(
            to_note(each.row, cards[each.row.card_id].keeping_s, zone) for each in read.notes
        ),
        happened=to_happened(file.scenario, (each.row for each in read.happened), zone),
    )
