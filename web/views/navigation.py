"""The pages that stand in everybody's navigation, and whose they are."""

from __future__ import annotations

from dataclasses import dataclass

from api.records.people import Role
from api.services.roles import Act, Doing, Reach
from web.views.links import Link
from web.views.reading import N_, Reading


@dataclass(frozen=True, slots=True)
class Entry:
    """A page for whoever may do that act so far. The first that is hers is where she begins, unless
    another one is first for her role."""

    text: str
    href: str
    act: Act
    reaches: tuple[Reach, ...] = ("all",)
    first_for: tuple[Role, ...] = ()


PLANNED = (
    Entry(N_("My lots"), "/my-lots", Act.READ_NOTES, ("own",)),
    Entry(N_("Tell us what's coming"), "/tell-us-whats-coming", Act.NOTE, ("own",)),
    Entry(N_("Week on the racks"), "/weeks", Act.READ_WEEK),
    Entry(N_("Harvest notes"), "/harvest-notes", Act.READ_NOTES),
    Entry(N_("Lay out"), "/lay-out", Act.LAY_OUT),
    Entry(N_("Suppose"), "/suppose", Act.SUPPOSE),
    Entry(N_("Waiting list"), "/waiting-list", Act.READ_WEEK),
    Entry(N_("Outbox"), "/messages", Act.SEND_MESSAGES),
    Entry(N_("Papers in order"), "/papers", Act.READ_PAPERS),
)
DONE = (
    Entry(N_("Day sheet"), "/day-sheets", Act.READ_DAY_SHEET, ("all", "own")),
    Entry(N_("Tick off"), "/tick-off", Act.TICK, first_for=("hand",)),
    Entry(N_("At the door"), "/at-the-door", Act.DOOR),
    Entry(N_("Dry check"), "/dry-checks", Act.DRY_CHECK),
    Entry(N_("Night sheet"), "/night-sheet", Act.READ_NIGHT_SHEET, ("all", "tonight")),
    Entry(N_("Board paper"), "/board", Act.READ_BOARD),
    Entry(N_("Invoices"), "/invoices", Act.READ_BILLS, ("all", "own")),
    Entry(N_("My calendar"), "/my-calendar", Act.OWN_FEEDS, ("all", "own", "tonight")),
)
ENTRIES = (*PLANNED, *DONE)
MOST_IN_A_ROW = 10  # more do not stand beside each other on a desk of 1280 pixels


def entries(doing: Doing) -> tuple[Entry, ...]:
    """Those that are hers, in order."""
    return tuple(each for each in ENTRIES if doing.reach(each.act) in each.reaches)


def beginning(doing: Doing) -> Entry | None:
    """Where somebody who has logged in begins."""
    own = entries(doing)
    first = (each for each in own if doing.person.role in each.first_for)
    return next(first, next(iter(own), None))


def navigation(doing: Doing, reading: Reading, *, path: str) -> tuple[tuple[Link, ...], ...]:
    """Her pages as links, in one row, or in two where they are many: what is planned, and what is
    done. The one that the path is of, or below, is marked."""
    own = entries(doing)
    rows = (PLANNED, DONE) if len(own) > MOST_IN_A_ROW else (ENTRIES,)
    return tuple(
        tuple(
            Link(reading.say(each.text), each.href, f"{path}/".startswith(f"{each.href}/"))
            for each in row
            if each in own
        )
        for row in rows
    )
