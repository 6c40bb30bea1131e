"""Races as a table: everybody on a line of its own, beside the best that is known."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich.table import Table

from scheduler.wording import plain

if TYPE_CHECKING:
    from scheduler.races import Entry, Race

NAME, WORDS = 0, (0, 1, 3, 7)  # columns that are no figures
DIGITS = 5  # of an ovens' figure, which is a share


def races_table(races: Sequence[Race]) -> Table:
    """A line an entry; the instance stands on its first."""
    table = Table(box=None, pad_edge=False, padding=(0, 1, 0, 0), caption_justify="left")
    headings = ("instance", "size", "best known", "who", "value", "over best", "bound", "", "last")
    for place, heading in enumerate((*headings, "wall", "faults")):
        table.add_column(
            heading,
            justify="left" if place in WORDS else "right",
            overflow="fold",
            no_wrap=place != NAME,  # on a narrow screen a long name takes lines, no figure is cut
        )
    for race in races:
        for number, entry in enumerate(race.entries):
            first = ("", "", "") if number else (race.instance, race.size, _figure(race.best))
            table.add_row(*first, *_cells(race, entry))
    table.caption = "last: seconds to the last improvement; wall: seconds in all"
    return table


def _cells(race: Race, entry: Entry) -> tuple[str, ...]:
    over = race.over(entry)
    return (
        entry.who,
        _figure(entry.value) or "nothing",
        "" if over is None else f"{100 * over:+.2f} %",
        _figure(entry.bound),
        "proven" if entry.proven else "",
        plain(entry.seconds, decimals=1),
        plain(entry.wall_s, decimals=1),
        str(len(entry.faults)),
    )


def _figure(value: float | None) -> str:
    if value is None:
        return ""
    return str(int(value)) if value == int(value) else f"{value:.{DIGITS}f}"
