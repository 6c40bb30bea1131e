"""How often each turn of a plan holds, as text."""

from __future__ import annotations

from collections.abc import Iterator
from zoneinfo import ZoneInfo

from rich.console import RenderableType
from rich.table import Table
from rich.text import Text

from scheduler.shake import HOLDS_S, Shaken
from scheduler.wording import clock, duration, percent, plain, short_day

KINDS = {"bringing": "brings", "packing": "packs"}
MOST_BUFFERS = 3
CAUTION = "How often a plan holds says nothing of food safety: at every dry check a person decides."


def shaken_text(found: Shaken, zone: ZoneInfo) -> Iterator[RenderableType]:
    """Every turn in order of time, the buffers that help most, the spread with its sources."""
    table = Table(box=None, pad_edge=False, padding=(0, 1, 0, 0))
    for heading in ("turn", "charge", "", "dryer"):
        table.add_column(heading, no_wrap=True)
    for heading in ("holds", "past its latest start"):
        table.add_column(heading, justify="right", no_wrap=True)
    for turn in found.turns:
        at = turn.at.astimezone(zone)
        table.add_row(
            f"{short_day(at.date())} {clock(at)}",
            turn.code,
            KINDS[turn.kind],
            turn.dryer_id,
            percent(turn.holds),
            percent(turn.past_keeping) if turn.kind == "bringing" else "",
        )
    yield table
    turns = f"{plain(found.holding, decimals=1)} of {len(found.turns)} turns"
    late = duration(HOLDS_S)
    yield Text(f"{turns} hold on average of {found.times} replays, at most {late} late.")
    for buffer in (each for each in found.buffers[:MOST_BUFFERS] if each.turns > 0):
        at = buffer.before.astimezone(zone)
        run = f"the {clock(at)} run of {short_day(at.date())} in {buffer.dryer_id}"
        more = plain(buffer.turns, decimals=1)
        yield Text(f"An hour more before {run}: {more} more turns hold.")
    yield Text("Not as planned: " + "; ".join(found.spread.sources) + ".")
    yield Text(CAUTION, style="bold")
