"""The pages that are looked at in Chromium: each new page adds its line."""

from __future__ import annotations

from dataclasses import dataclass

from api.records.people import Role

WEEK, TUESDAY = "/weeks/2026-W34", "/day-sheets/2026-08-18"


@dataclass(frozen=True, slots=True)
class Seen:
    """A page by its address, and who looks at it: nobody, or the person of that role."""

    path: str
    by: Role | None

    def __str__(self) -> str:
        return f"{self.path} by {self.by or 'nobody'}"


MENDED, OWED = Seen("/re-lay/5", "manager"), Seen("/invoices/2026-08", "manager")
PAGES = (
    Seen("/log-in", None),
    Seen("/nowhere", "manager"),
    Seen("/my-settings", "manager"),
    Seen(WEEK, "manager"),
    Seen(TUESDAY, "hand"),
    Seen(TUESDAY, "grower"),
    Seen("/tick-off/2026-08-18", "hand"),
    Seen("/tick-off/2026-08-23", "hand"),
    Seen("/at-the-door/2026-08-18", "hand"),
    Seen("/dry-checks", "hand"),
    Seen("/my-lots", "grower"),
    Seen("/my-lots/R02", "grower"),
    Seen("/my-lots/R02/change", "grower"),
    Seen("/my-lots/R02/let-go", "grower"),
    Seen("/tell-us-whats-coming", "grower"),
    Seen("/my-calendar", "grower"),
    Seen("/harvest-notes", "manager"),
    Seen("/harvest-notes/new", "manager"),
    Seen("/harvest-notes/R02", "manager"),
    Seen("/harvest-notes/R01/change", "manager"),
    Seen("/harvest-notes/R02/stand-down", "manager"),
    Seen("/harvest-notes/R01/carry-over", "manager"),
    Seen("/harvest-notes/import", "manager"),
    Seen("/harvest-notes/standing-lots", "manager"),
    Seen("/harvest-notes/call-list", "manager"),
    Seen("/harvest-notes/call-list/G09/number", "manager"),
    Seen("/places/R02", "hand"),
    Seen("/places/R09/later", "hand"),
    Seen("/waiting-list/room/2026-W34", "manager"),
    Seen("/re-lay?week=2026-W34", "manager"),
    MENDED,
    Seen("/lay-out", "manager"),
    Seen("/lay-out/1", "manager"),
    Seen("/plans/1", "manager"),
    Seen("/plans/2/beside/1", "manager"),
    Seen("/plans/2/fees", "manager"),
    Seen("/pinned/2026-W34", "manager"),
    Seen("/waiting-list", "manager"),
    Seen("/plans/2/post?moving=yes", "manager"),
    Seen("/messages", "manager"),
    Seen("/papers", "manager"),
    Seen("/papers/growers/G04?kind=liability+insurance", "manager"),
    Seen("/papers/cards/chili", "manager"),
    Seen("/", "board"),
    Seen("/board/2026-W34", "board"),
    Seen("/board/season/2026", "board"),
    Seen("/", "on_call"),
    Seen("/night-sheet/down", "on_call"),
    Seen("/my-calendar", "hand"),
    Seen("/day-sheets/2026-08-18/labels", "hand"),
    Seen("/lot-card/R09", "hand"),
    Seen("/fees/2026-W34", "manager"),
    Seen("/fees/2026-W34", "grower"),
    Seen("/suppose?week=2026-W34", "manager"),
    Seen("/suppose?week=2026-W34&what=note", "manager"),
    Seen("/suppose?week=2026-W34&what=down", "manager"),
    Seen("/suppose/2", "manager"),
    Seen("/suppose/3", "manager"),
    Seen("/board/season/2026/suppose", "board"),
    Seen("/board/suppose/4", "board"),
    OWED,
)
