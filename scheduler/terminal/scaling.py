"""Lay-outs of growing size, drawn: seconds and memory as bars beside their figures."""

from __future__ import annotations

from collections.abc import Sequence
from math import log10
from typing import TYPE_CHECKING

from rich.table import Table

from scheduler.wording import percent, plain

if TYPE_CHECKING:
    from scheduler.scale import Grown

BLOCK, A_DECADE = "\u2588", 4  # characters for each tenfold
LEAST_S, LEAST_MIB = 0.01, 10.0  # where bars begin


def scale_table(found: Sequence[Grown]) -> Table:
    """A line a size, axis by axis. Bars are logarithmic: what grows as a power of the size grows
    by as much with each tenfold, and where it bends its power changes."""
    table = Table(box=None, pad_edge=False, padding=(0, 1, 0, 0), caption_justify="left")
    for heading in ("", "first plan", "", "bound", "", "memory", "", "gap", "faults"):
        table.add_column(heading, justify="left" if heading == "" else "right", no_wrap=True)
    axis = ""
    for each in found:
        if axis and each.axis != axis:
            table.add_row()
        axis = each.axis
        table.add_row(f"{each.at:>4} {axis}", *_cells(each))
    table.caption = (
        "first plan, bound: seconds (bound: to the first that says anything); memory: MiB of the "
        f"largest process; bars: {A_DECADE} blocks for each tenfold"
    )
    return table


def _cells(each: Grown) -> tuple[str, ...]:
    return (
        plain(each.first_plan_s, decimals=2),
        _bar(each.first_plan_s, LEAST_S),
        "none" if each.bound_s is None else plain(each.bound_s, decimals=1),
        "" if each.bound_s is None else _bar(each.bound_s, LEAST_S),
        plain(each.mib, decimals=0),
        _bar(each.mib, LEAST_MIB),
        percent(each.gap),
        str(len(each.faults)),
    )


def _bar(amount: float, least: float) -> str:
    return BLOCK * max(1, round(A_DECADE * log10(max(amount, least) / least)))
