"""The suites of the command bench: the kitchen's own, and races on published instances."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from enum import StrEnum
from typing import TYPE_CHECKING, Any, TypeVar

from rich.console import Console
from rich.live import Live
from rich.table import Table
from rich.text import Text

from scheduler import bench, kitchen_suites, scale
from scheduler.kitchen_suites import KitchenSuite
from scheduler.races import MISSING, Effort, Suite, installed, instances, race_json, races
from scheduler.terminal.benches import bench_table, medians_line, mends_table
from scheduler.terminal.races import races_table
from scheduler.terminal.scaling import scale_table

if TYPE_CHECKING:
    from scheduler.planning import Limits

Told = tuple[Any, tuple[str, ...]]  # figures as JSON values; what the referees object to
Row = TypeVar("Row")
SuiteName = StrEnum(  # type: ignore[misc] # made of both, so that the command knows one list
    "SuiteName", {each.name: each.value for each in (*KitchenSuite, *Suite)}
)


def raced(name: str, instances_from: str, effort: Effort, console: Console) -> Told:
    """Everybody on the instances, told as they come."""
    known = instances(Suite(name), instances_from)
    if not installed() and name != Suite.OVENS:
        console.print(MISSING, markup=False)
    found = _as_they_come(console, races(known, effort), races_table)
    faults = tuple(
        f"{race.instance}, {entry.who}: {fault}"
        for race in found
        for entry in race.entries
        for fault in entry.faults
    )
    return [race_json(race) for race in found], faults


def of_the_kitchen(name: str, limits: Limits, console: Console) -> Told:
    """Five seeds from the limits' one on, with their medians; or sizes, under the limits' seed."""
    suite = KitchenSuite(name)
    if suite is KitchenSuite.SCALE:
        return _of_any_size(limits, console)
    asked = kitchen_suites.cases(suite, limits.seed)
    if suite is KitchenSuite.RELAY:
        mends = _as_they_come(console, kitchen_suites.mends(asked, limits), mends_table)
        of_all = kitchen_suites.mend_medians(mends)
        rows = [kitchen_suites.mended_json(each) for each in mends]
        faults = tuple(f"{each.name}: {fault}" for each in mends for fault in each.faults)
    else:
        outcomes = _as_they_come(console, bench.run(asked, limits), bench_table)
        of_all = kitchen_suites.medians(outcomes)
        rows = [bench.outcome_json(each) for each in outcomes]
        faults = tuple(f"{row['case']}: {fault}" for row in rows for fault in row["faults"])
    console.print(medians_line(of_all))
    return {"medians": of_all, "cases": rows}, faults


def _of_any_size(limits: Limits, console: Console) -> Told:
    found = _as_they_come(console, scale.grown(limits), scale_table)
    faults = tuple(f"{each.size}: {fault}" for each in found for fault in each.faults)
    return [scale.grown_json(each) for each in found], faults


def _as_they_come(
    console: Console, rows: Iterable[Row], table: Callable[[list[Row]], Table]
) -> list[Row]:
    """All rows, the table growing with them; with Ctrl-C those that are done, if any are."""
    done: list[Row] = []
    try:
        with Live(console=console, transient=True, refresh_per_second=1) as line:
            line.update(Text("Measuring (Ctrl-C ends it)"))
            for row in rows:
                done.append(row)
                line.update(table(done))
    except KeyboardInterrupt:
        if not done:
            raise
    console.print(table(done))
    return done
