"""What the manager supposes of a week, beside its plan: one thing otherwise than it is."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal, get_args

from scheduler.domain.clock import Span
from scheduler.units import Grams

SuppositionKind = Literal[
    "dryer", "dryer and supply", "steamer", "table", "hand", "evening", "order", "keeping", "note",
    "down",
]  # fmt: skip
KINDS: tuple[SuppositionKind, ...] = get_args(SuppositionKind)


@dataclass(frozen=True, slots=True)
class Supposition:
    """dryer, dryer and supply, steamer, table, hand: one more of it. evening: staffed until 22:00.

    order: notes called as they came; keeping: those that keep least first. note: note_id with
    another weight, arrival or latest start, None where it is as told; with another arrival alone
    it keeps as long from then. down: the dryer is down in the span.
    """

    kind: SuppositionKind
    note_id: str = ""
    field_g: Grams | None = None
    arrives: datetime | None = None
    latest_start: datetime | None = None
    dryer_id: str = ""
    span: Span | None = None
