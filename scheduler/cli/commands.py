"""Commands of the planning core: lay-out, check, sheet."""

from __future__ import annotations

import json
from dataclasses import asdict
from datetime import date, datetime
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer
from rich.console import Console

from scheduler.cli.live import lay_out_live
from scheduler.cli.plainly import BREAKS_A_RULE, EXIT_CODES, plainly, tell
from scheduler.day_sheet import DaySheet, day_sheet
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.plan import Plan
from scheduler.domain.rules import FULL, SIMPLE, TITLES, RuleBook
from scheduler.errors import BadInput, InputFault
from scheduler.plan_file import read_plan, write_plan
from scheduler.scenario import bundled, load
from scheduler.summary import summary
from scheduler.terminal import sheet_text, week_text
from scheduler.verify import Fault, verify
from scheduler.wording import plain

if TYPE_CHECKING:
    from scheduler.planning import Limits

DEFAULT_SECONDS = 15.0
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")

app = typer.Typer(
    name="commonrack",
    help="Lays out the week of a cooperative's shared vegetable-drying kitchen.",
    epilog=EXIT_CODES,
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)


class Rules(StrEnum):
    """Rule books by name."""

    FULL = "full"
    SIMPLE = "simple"

    @property
    def book(self) -> RuleBook:
        return SIMPLE if self is Rules.SIMPLE else FULL


Scenario = Annotated[
    str, typer.Argument(help=f"A folder, or one of: {', '.join(bundled())}.", show_default=False)
]
PlanPath = Annotated[Path, typer.Argument(help="A plan file, as lay-out --out writes it.")]
SecondsLimit = Annotated[
    float | None,
    typer.Option(
        help="Stop after so many seconds (15 if nothing else is said).", min=1, show_default=False
    ),
]
WorkLimit = Annotated[
    float | None,
    typer.Option(
        help="Stop after so much work instead: the same plan again on every run.",
        min=0.1,
        show_default=False,
    ),
]
Seed = Annotated[int, typer.Option(help="Where chance starts.", min=0)]


@app.command("lay-out", epilog=EXIT_CODES)
def lay_out_command(
    scenario: Scenario,
    seconds: SecondsLimit = None,
    work: WorkLimit = None,
    seed: Seed = 1,
    rules: Annotated[Rules, typer.Option(help="simple leaves out the work.")] = Rules.FULL,
    out: Annotated[
        Path | None,
        typer.Option(help="Write plan.json and summary.json there.", show_default=False),
    ] = None,
) -> None:
    """Make a plan and print the week.

    Examples: commonrack lay-out august; commonrack lay-out glut --seconds 60 --out glut-plan
    """
    console = Console(highlight=False)
    with plainly():
        limits = limits_from(seconds, work, seed=seed)
        asked = load(scenario)
        laid_out = lay_out_live(asked, rules.book, limits, console=console)
        faults = laid_out.faults
        console.print(week_text(asked, laid_out.plan))
        times = f"first plan after {plain(laid_out.first_plan_s, decimals=1)} s"
        console.print(f"\n{times}, laid out in {plain(laid_out.wall_s, decimals=1)} s")
        if out:
            figures = summary(
                asked,
                laid_out.plan,
                faults=len(faults),
                first_plan_s=laid_out.first_plan_s,
                wall_s=laid_out.wall_s,
            )
            write_out(out, asked, laid_out.plan, figures=figures)
            console.print(f"plan.json and summary.json are in {out}", soft_wrap=True)
    tell_faults(faults)


def limits_from(seconds: float | None, work: float | None, *, seed: int) -> Limits:
    """Seconds or work, not both; 15 seconds where neither is given."""
    from scheduler.planning import Limits  # noqa: PLC0415 only who lays out loads the solver

    if seconds is not None and work is not None:
        raise BadInput((InputFault("--work", None, None, "give --seconds or --work, not both"),))
    if work is not None:
        return Limits(seconds=None, work=work, seed=seed)
    return Limits(seconds=seconds or DEFAULT_SECONDS, seed=seed)


def write_out(out: Path, asked: Asked, plan: Plan, *, figures: dict[str, object]) -> None:
    """plan.json and summary.json in that folder, which is made."""
    out.mkdir(parents=True, exist_ok=True)
    write_plan(out / "plan.json", plan, asked)
    text = json.dumps(figures, indent=1, ensure_ascii=False)
    (out / "summary.json").write_text(f"{text}\n", encoding="utf-8")


def in_words(fault: Fault) -> str:
    """ "rule 5, racks: ..."; rule 0 is the proof."""
    title = TITLES.get(fault.rule, "the proof").lower()
    return f"rule {fault.rule}, {title}: {fault.message}"


def tell_faults(faults: tuple[Fault, ...]) -> None:
    """Each broken rule on its line, and exit code 1; nothing where there is none."""
    for fault in faults:
        tell(in_words(fault))
    if faults:
        raise typer.Exit(BREAKS_A_RULE)


@app.command("check", epilog=EXIT_CODES)
def check_command(scenario: Scenario, plan: PlanPath) -> None:
    """Check a plan against the kitchen's rules, by its own way and not the planner's.

    Example: commonrack check august august-plan/plan.json
    """
    with plainly():
        asked = load(scenario)
        given = read_plan(plan).plan
        same_week(asked, given, plan)
        faults = verify(asked, given, SIMPLE if given.rules == SIMPLE.name else FULL)
    tell_faults(faults)
    Console(highlight=False).print(
        f"{plan}: keeps every rule ({given.rules} rules)", soft_wrap=True
    )


def same_week(asked: Asked, plan: Plan, path: Path) -> None:
    """BadInput where a plan is of another week than the scenario."""
    if plan.week != asked.week:
        message = (
            f"is a plan of {plan.week}, the scenario is of {asked.week}; check it with its own"
        )
        raise BadInput((InputFault(path.name, None, None, message),))


@app.command("sheet", epilog=EXIT_CODES)
def sheet_command(
    plan: PlanPath,
    day: Annotated[
        str, typer.Argument(metavar="DATE", help="2026-08-18, or a weekday of the plan's week.")
    ],
    as_json: Annotated[bool, typer.Option("--json", help="The same as JSON.")] = False,
) -> None:
    """Print the day sheet of one day.

    Examples: commonrack sheet august-plan/plan.json tuesday; commonrack sheet plan.json 2026-08-18
    """
    with plainly():
        given = read_plan(plan)
        sheet = day_sheet(given.asked, given.plan, day_of(given.asked.week, day))
    if as_json:
        typer.echo(sheet_json(sheet))
        return
    Console(highlight=False).print(sheet_text(sheet))


def day_of(week: Week, text: str) -> date:
    """A date, or a weekday of that week by name or its first three letters; BadInput otherwise."""
    name = text.lower()
    for weekday, day in zip(WEEKDAYS, week.days, strict=True):
        if name in (weekday, weekday[:3]):
            return day
    try:
        return date.fromisoformat(text)
    except ValueError:
        message = f"{text!r} is no day; write it like {week.monday}, or a weekday like tuesday"
        raise BadInput((InputFault("DATE", None, None, message),)) from None


def sheet_json(sheet: DaySheet) -> str:
    """The sheet as JSON: the same values that the service answers with."""
    return json.dumps(asdict(sheet), default=_plain, indent=1, ensure_ascii=False)


def _plain(value: object) -> str:
    if isinstance(value, date | datetime):
        return value.isoformat()
    raise TypeError(f"a day sheet holds no {type(value).__name__}")
