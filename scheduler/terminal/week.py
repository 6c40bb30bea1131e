"""The week as text: figures, strips, runs, fractions, waiting list."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from scheduler.domain.asked import Asked
from scheduler.domain.plan import Plan, Run
from scheduler.measures import Fraction, Measures, measure, rescued
from scheduler.started import all_runs
from scheduler.terminal.fees import fees_by_grower
from scheduler.terminal.strips import Strips
from scheduler.units import Grams
from scheduler.wording import (
    clock_from,
    day_and_month,
    percent,
    plain,
    weight,
    why_not,
)


def week_text(asked: Asked, plan: Plan) -> RenderableType:
    """The whole week, as it is printed after laying out."""
    measures = measure(asked, plan)
    kitchen = asked.kitchen
    first, last = measures.period.start, measures.period.end
    days = " to ".join(day_and_month(at.astimezone(kitchen.zone).date()) for at in (first, last))
    return Group(
        Text(f"Week on the racks: {kitchen.name}", style="bold"),
        Text(f"{days} ({asked.week}), pencilled"),
        *_figures(asked, plan),
        Text(),
        Strips(asked, plan, measures),
        Text("the taller the block, the more racks; · cool hold; at the end: rack-hours used"),
        Text(),
        _runs(asked, plan),
        Text(),
        fractions_text(measures),
        *_waiting_list(asked, plan),
        *_moved(asked, plan),
        Text(),
        *fees_by_grower(asked, plan),
    )


def _figures(asked: Asked, plan: Plan) -> Iterator[Text]:
    unit = asked.kitchen.weight_unit
    found = rescued(asked, plan)
    prepared = f"{_of(found.placed_prepared_g, found.asked_prepared_g, asked)} prepared"
    parts = f", {found.part_placed_notes} more in part" if found.part_placed_notes else ""
    yield Text(f"{prepared}, {found.placed_notes} of {found.asked_notes} notes whole{parts}")
    if plan.proof:
        left = Grams(plan.proof.bound_g - plan.proof.worth_g)
        ahead = Grams(plan.proof.worth_g - plan.proof.whiteboard_g)
        yield Text(
            f"at most {weight(left, unit)} left to win ({percent(plan.proof.gap)} of the proven "
            f"bound); {weight(ahead, unit)} ahead of the whiteboard plan"
        )
    yield Text(f"the members' order of goals: {', '.join(asked.kitchen.goals)}")


def _of(some: Grams, whole: Grams, asked: Asked) -> str:
    unit = asked.kitchen.weight_unit
    return f"{weight(some, unit).removesuffix(f' {unit}')} of {weight(whole, unit)}"


def _runs(asked: Asked, plan: Plan) -> Table:
    table = Table(box=None, pad_edge=False, header_style="bold")
    for heading in ("start", "dryer", "lots and racks", "racks", "ends", "cool hold to"):
        table.add_column(heading, no_wrap=heading != "lots and racks")
    for run in all_runs(asked, plan):
        start = run.start.astimezone(asked.kitchen.zone)
        end, released = (at.astimezone(start.tzinfo) for at in (run.end, run.released))
        table.add_row(
            f"{start:%a %H:%M}",
            run.dryer_id,
            _lots(asked, run),
            f"{run.racks} of {asked.kitchen.dryer(run.dryer_id).racks}",
            clock_from(end, start.date()),
            clock_from(released, start.date()) if run.released > run.end else "",
        )
    return table


def _lots(asked: Asked, run: Run) -> str:
    return ", ".join(
        f"{charge.code} {asked.card(asked.note(charge.note_id).card_id).name} {charge.racks}"
        for charge in run.charges
    )


def fractions_text(measures: Measures) -> Table:
    """The four fractions, numerator and denominator beside each."""
    table = Table(box=None, pad_edge=False, show_header=False)
    for each in measures.four:
        table.add_row(each.name, f"{percent(each.share):>5}", _fraction(each), each.definition)
    return table


def _fraction(fraction: Fraction) -> str:
    numerator = plain(fraction.numerator, decimals=1)
    return f"{numerator} of {plain(fraction.denominator, decimals=1)} {fraction.unit}"


def _waiting_list(asked: Asked, plan: Plan) -> Iterator[RenderableType]:
    if plan.waiting:
        yield Text()
        yield Text("Waiting list", style="bold")
    for waiting in plan.waiting:
        note = asked.note(waiting.note_id)
        amount = weight(waiting.field_g, asked.kitchen.weight_unit)
        crop, farm = asked.card(note.card_id).name, asked.grower(note.grower_id).farm
        yield Text(f"{note.id} {crop}, {farm}, {amount}: {why_not(waiting)}")


def _moved(asked: Asked, plan: Plan) -> Iterator[RenderableType]:
    if plan.moved:
        yield Text()
        yield Text("Firm turns that could not be kept", style="bold")
    for moved in plan.moved:
        note = asked.note(moved.note_id)
        crop, farm = asked.card(note.card_id).name, asked.grower(note.grower_id).farm
        yield Text(f"{note.id} {crop}, {farm}: {moved.reason} (rule {moved.rule})")
