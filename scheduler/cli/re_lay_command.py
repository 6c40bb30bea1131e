"""The command re-lay: a plan meets the day; what is inside, whom to ring, and the mended plan."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer
from rich.console import Console

from scheduler.cli.commands import Rules, Scenario, Seed, app, same_week, tell_faults, write_out
from scheduler.cli.live import lay_out_live
from scheduler.cli.plainly import EXIT_CODES, plainly
from scheduler.domain.asked import Asked
from scheduler.domain.outage import Outage
from scheduler.domain.plan import Plan
from scheduler.domain.promised import Promised
from scheduler.domain.rules import RuleBook
from scheduler.emergency import emergency, stopped_stations
from scheduler.errors import BadInput, InputFault
from scheduler.papers import short_in
from scheduler.plan_file import read_plan
from scheduler.scenario import load
from scheduler.summary import mend_summary
from scheduler.terminal import emergency_text, mend_text
from scheduler.verify import verify
from scheduler.wording import plain

if TYPE_CHECKING:
    from scheduler.domain.mend import ReLaid
    from scheduler.re_lay import Limits

SECONDS, HAND_SECONDS = 10.0, 20.0
END_S = 0.5  # of the seconds, kept for checking and telling


@dataclass(frozen=True, slots=True)
class _Course:
    """asked: with the plan in hand. lay_open_s, wall_s: since the stop was entered."""

    asked: Asked
    found: ReLaid
    lay_open_s: float
    wall_s: float


@app.command("re-lay", epilog=EXIT_CODES)
def re_lay_command(  # noqa: PLR0913, PLR0917 the options of a command are its arguments
    scenario: Scenario,
    seconds: Annotated[
        float, typer.Option(help="For all of the mend, the first telling included.", min=1)
    ] = SECONDS,
    rules: Annotated[Rules, typer.Option(help="simple leaves out the work.")] = Rules.FULL,
    plan: Annotated[
        Path | None,
        typer.Option(
            help="The plan in hand; laid out first where none is given.", show_default=False
        ),
    ] = None,
    hand_seconds: Annotated[
        float, typer.Option(help="For laying out the plan in hand.", min=1)
    ] = HAND_SECONDS,
    seed: Seed = 1,
    out: Annotated[
        Path | None,
        typer.Option(help="Write plan.json and summary.json there.", show_default=False),
    ] = None,
) -> None:
    """Mend a plan that meets the day: what stopped is in the scenario's record, up to its now.

    Told at once: the lots inside, their clocks, where they may go, whom to ring. Then the mended
    plan and who moves. Example: commonrack re-lay dryer_down --out mended
    """
    from scheduler.re_lay import Limits  # noqa: PLC0415 only who lays out loads the solver

    console = Console(highlight=False)
    with plainly():
        asked = load(scenario)
        in_hand = _plan_in_hand(
            asked, plan, rules.book, console=console, limits=Limits(seconds=hand_seconds, seed=seed)
        )
        course = _mended(asked, in_hand, Limits(seconds=seconds, seed=seed), console)
        found = course.found
        chosen = found.whole if found.proposed == "whole" and found.whole else found.small
        faults = verify(course.asked, chosen.plan, rules.book)
        if out:
            figures = mend_summary(
                asked,
                chosen,
                faults=len(faults),
                lay_open_s=course.lay_open_s,
                wall_s=course.wall_s,
            )
            write_out(out, course.asked, chosen.plan, figures=figures)
            console.print(f"plan.json and summary.json are in {out}", soft_wrap=True)
    tell_faults(faults)


def _plan_in_hand(
    asked: Asked, path: Path | None, rules: RuleBook, *, console: Console, limits: Limits
) -> Plan:
    """From the file, or laid out as if what stopped now had not."""
    now = _now(asked)
    if path is not None:
        found = read_plan(path).plan
        same_week(asked, found, path)
        return found
    before = replace(asked, happened=replace(asked.happened, outages=tuple(_over(asked, now))))
    laid_out = lay_out_live(before, rules, limits, console=console)
    console.print(f"The plan in hand was laid out in {plain(laid_out.wall_s, decimals=1)} s.")
    return laid_out.plan


def _now(asked: Asked) -> datetime:
    if asked.happened.now is None:
        told = "nothing has happened yet in this scenario; it has no now"
        raise BadInput((InputFault(asked.name, None, "now", told),))
    return asked.happened.now


def _over(asked: Asked, now: datetime) -> Iterator[Outage]:
    """Outages that are over."""
    return (each for each in asked.happened.outages if each.back and each.back <= now)


def _mended(asked: Asked, plan: Plan, limits: Limits, console: Console) -> _Course:
    from scheduler.re_lay import in_hand, re_laid  # noqa: PLC0415 only who lays out loads the solver

    begin, now = time.monotonic(), _now(asked)
    placed = {charge.note_id for _, charge in plan.charges()}
    notes = (note for note in asked.open_notes() if note.id in placed)
    firm = frozenset(note.id for note in notes if not short_in(asked, plan, note))
    asked = replace(asked, promised=Promised(plan, firm))
    for station_id in stopped_stations(asked, plan, now):
        console.print(emergency_text(asked, emergency(asked, plan, station_id, now)))
    opened = time.monotonic() - begin
    console.print(f"Shown after {plain(opened, decimals=2)} s; mending the plan.")
    left = (limits.seconds or SECONDS) - opened - END_S
    found = re_laid(asked, plan, now, limits=replace(limits, seconds=max(1.0, left)))
    console.print(mend_text(asked, found))
    wall = time.monotonic() - begin
    console.print(f"Re-laid in {plain(wall, decimals=1)} s.")
    chosen = found.whole if found.proposed == "whole" and found.whole else found.small
    return _Course(in_hand(asked, plan, now, chosen.plan.part_lots), found, opened, wall)
