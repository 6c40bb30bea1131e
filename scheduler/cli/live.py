"""Laying out with a live line: what is placed, what is still to win, how long it may take."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.console import Console
from rich.live import Live
from rich.text import Text

from scheduler.domain.asked import Asked
from scheduler.domain.rules import RuleBook
from scheduler.terminal import progress_line
from scheduler.wording import WeightUnit, count

if TYPE_CHECKING:
    from scheduler.planning import LaidOut, Limits, Progress


def lay_out_live(asked: Asked, rules: RuleBook, limits: Limits, *, console: Console) -> LaidOut:
    """The plan of scheduler.planning.lay_out; the line goes away when it is there."""
    from scheduler.planning import lay_out  # noqa: PLC0415 only who lays out loads the solver

    notes = count(len(tuple(asked.open_notes())), "harvest note")
    opening = Text(f"Laying out {asked.title}: {notes} (Ctrl-C keeps the best so far)")
    with Live(opening, console=console, transient=True, refresh_per_second=4) as line:

        def watch(progress: Progress) -> None:
            line.update(Text(says(progress, asked.kitchen.weight_unit)))

        def on_explain(message: str) -> None:
            line.update(Text(f"{message} (Ctrl-C ends the asking)"))

        return lay_out(asked, rules, limits=limits, watch=watch, on_explain=on_explain)


def says(progress: Progress, unit: WeightUnit = "kg") -> str:
    """The live line's words."""
    limit = progress.limit_seconds
    return progress_line(
        worth_g=progress.worth_g,
        bound_g=progress.bound_g,
        whiteboard_g=progress.whiteboard_g,
        left_s=None if limit is None else limit - progress.seconds,
        unit=unit,
    )
