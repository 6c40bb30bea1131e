"""What the board might buy, tried at the command line: how far it is, and kept as it goes."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from rich.console import Console
from rich.live import Live
from rich.text import Text

from scheduler.cli.plainly import tell
from scheduler.replay.changes import CHANGES
from scheduler.replay.kept import mark_of, read_trials, write_trials
from scheduler.replay.options import verdict, worded
from scheduler.replay.pace import Pace
from scheduler.replay.suppose import Tries, suppose
from scheduler.replay.supposed import Trial
from scheduler.season.paper import Option
from scheduler.season.records import Season
from scheduler.units import MINUTE

KEPT = "tries.json"


def tried(season: Season, tries: Tries, out: Path | None) -> tuple[tuple[Option, ...], str]:
    """What was tried, and the sentence on it. out: the folder where tries are kept, and gone on
    with."""
    with _told(season, tries, out) as work:
        found = suppose(season, CHANGES, tries, told=work.heard, known=work.known)
    currency = season.kitchen.currency
    return worded(found, currency), verdict(found, currency)


@dataclass
class _Work:
    season: Season
    tries: Tries
    kept: Path | None
    mark: str
    line: Live
    known: tuple[Trial, ...] = ()
    done: tuple[int, int] = (0, 0)

    def __post_init__(self) -> None:
        self.pace = Pace(self.season, self.tries, self.known)

    def heard(self, done: int, of: int, trials: tuple[Trial, ...]) -> None:
        self.done = done, of
        if self.kept:
            write_trials(self.kept, self.mark, trials)
        self.line.update(Text(f"Supposing: {done} of {of} tries of a week{self._left(trials)}"))

    def _left(self, trials: tuple[Trial, ...]) -> str:
        left = self.pace.left_s(trials)
        if left is None:
            return ""
        minutes = round(left / MINUTE)
        return f"; about {minutes} min left" if minutes else "; less than a minute left"


@contextmanager
def _told(season: Season, tries: Tries, out: Path | None) -> Iterator[_Work]:
    """Whoever ends it is told how to go on."""
    kept, mark = None, ""
    if out:
        out.mkdir(parents=True, exist_ok=True)
        kept, mark = out / KEPT, mark_of(season, tries.steps)
    with Live(Text(""), console=Console(stderr=True), transient=True) as line:
        work = _Work(season, tries, kept, mark, line, read_trials(kept, mark) if kept else ())
        try:
            yield work
        except KeyboardInterrupt:
            done, of = work.done
            if kept and done:
                tell(f"{done} of {of} tries are kept in {kept}; the same command goes on from it")
            raise
