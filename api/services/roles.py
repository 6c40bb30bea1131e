"""Who may do what: the whole permission table, and how it is asked."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Literal, Protocol, TypeVar, get_args

from api.records.people import Person, Role
from api.services.errors import NoSuchThing, NotAllowed

Reach = Literal["all", "own", "tonight", "no"]
ROLES: tuple[Role, ...] = get_args(Role)


class Act(StrEnum):
    """Everything that can be asked of the book."""

    READ_WEEK = "read week"
    READ_DAY_SHEET = "read day sheet"
    READ_NIGHT_SHEET = "read night sheet"
    READ_NOTES = "read notes"
    NOTE = "note"
    CHANGE_NOTE = "change note"
    CARRY_OVER = "carry over"
    STAND_DOWN = "stand down"
    IMPORT_NOTES = "import notes"
    KEEP_STANDING = "keep standing lots"
    LAY_OUT = "lay out"
    WISH = "pin and forbid"
    MEND = "mend a posted plan"
    SUPPOSE = "suppose"
    POST = "post"
    READ_TURNS = "read turns"
    READ_LOTS = "read lots"
    READ_FEES = "read fees"
    DOOR = "door"
    PLACE = "place one lot anew"
    RUN = "start, end and unload runs"
    DRY_CHECK = "dry check"
    PUT_RIGHT = "put right what is held"
    CORRECT = "correct what was written by mistake"
    PACK = "pack"
    TICK = "tick"
    READ_PAPERS = "read papers"
    KEEP_PAPERS = "keep papers"
    READ_HOUSE = "read kitchen and cards"
    KEEP_HOUSE = "keep kitchen and cards"
    READ_OUTAGES = "read outages"
    DOWN_UP = "down and up"
    NIGHT_LOG = "keep night log"
    READ_BOARD = "read board paper"
    SUPPOSE_SEASON = "suppose for the board"
    RING = "ring growers"
    READ_BILLS = "read invoices"
    SEND_MESSAGES = "send messages"
    KEEP_PEOPLE = "keep people"
    READ_DEEDS = "read deeds"
    OWN_TOKENS = "own tokens"
    OWN_FEEDS = "own feeds"
    OWN_SETTINGS = "own settings"


#                        manager, hand,  grower, board, on_call
_TABLE: dict[Act, tuple[Reach, Reach, Reach, Reach, Reach]] = {
    Act.READ_WEEK: ("all", "all", "no", "no", "no"),
    Act.READ_DAY_SHEET: ("all", "all", "own", "no", "no"),
    Act.READ_NIGHT_SHEET: ("all", "all", "no", "no", "tonight"),
    Act.READ_NOTES: ("all", "all", "own", "no", "no"),
    Act.NOTE: ("all", "all", "own", "no", "no"),
    Act.CHANGE_NOTE: ("all", "all", "own", "no", "no"),
    Act.CARRY_OVER: ("all", "no", "no", "no", "no"),
    Act.STAND_DOWN: ("all", "no", "no", "no", "no"),
    Act.IMPORT_NOTES: ("all", "no", "no", "no", "no"),
    Act.KEEP_STANDING: ("all", "no", "no", "no", "no"),
    Act.LAY_OUT: ("all", "no", "no", "no", "no"),
    Act.WISH: ("all", "no", "no", "no", "no"),
    Act.MEND: ("all", "all", "no", "no", "no"),
    Act.SUPPOSE: ("all", "no", "no", "no", "no"),
    Act.POST: ("all", "no", "no", "no", "no"),
    Act.READ_TURNS: ("all", "all", "own", "no", "no"),
    Act.READ_LOTS: ("all", "all", "own", "no", "no"),
    Act.READ_FEES: ("all", "all", "own", "no", "no"),
    Act.DOOR: ("all", "all", "no", "no", "no"),
    Act.PLACE: ("all", "all", "no", "no", "no"),
    Act.RUN: ("all", "all", "no", "no", "no"),
    Act.DRY_CHECK: ("all", "all", "no", "no", "no"),
    Act.CORRECT: ("all", "all", "no", "no", "no"),
    Act.PUT_RIGHT: ("all", "all", "no", "no", "no"),
    Act.PACK: ("all", "all", "no", "no", "no"),
    Act.TICK: ("all", "all", "no", "no", "no"),
    Act.READ_PAPERS: ("all", "no", "own", "no", "no"),
    Act.KEEP_PAPERS: ("all", "no", "no", "no", "no"),
    Act.READ_HOUSE: ("all", "all", "no", "no", "no"),
    Act.KEEP_HOUSE: ("all", "no", "no", "no", "no"),
    Act.READ_OUTAGES: ("all", "all", "no", "no", "all"),
    Act.DOWN_UP: ("all", "all", "no", "no", "all"),
    Act.NIGHT_LOG: ("all", "all", "no", "no", "all"),
    Act.READ_BOARD: ("all", "no", "no", "all", "no"),
    Act.SUPPOSE_SEASON: ("all", "no", "no", "all", "no"),
    Act.RING: ("all", "all", "no", "no", "no"),
    Act.READ_BILLS: ("all", "no", "own", "no", "no"),
    Act.SEND_MESSAGES: ("all", "no", "no", "no", "no"),
    Act.KEEP_PEOPLE: ("all", "no", "no", "no", "no"),
    Act.READ_DEEDS: ("all", "no", "no", "no", "no"),
    Act.OWN_TOKENS: ("all", "all", "all", "all", "all"),
    Act.OWN_FEEDS: ("all", "all", "own", "no", "tonight"),
    Act.OWN_SETTINGS: ("all", "all", "all", "all", "all"),
}
# What an invitation is good for: reading what is her own, and in which language and units. A link
# is passed on easily: it promises the kitchen nothing and gives out nothing that outlasts it.
READING_HER_OWN = (
    Act.READ_DAY_SHEET,
    Act.READ_NOTES,
    Act.READ_TURNS,
    Act.READ_LOTS,
    Act.READ_FEES,
    Act.READ_PAPERS,
    Act.OWN_SETTINGS,
)

NEVER_ALONE = Act.KEEP_PEOPLE  # who keeps people can become anybody: no narrowed token may


def reach(role: Role, act: Act) -> Reach:
    """How far that role may do that: all, only what is the person's own, tonight, or not at all."""
    return _TABLE[act][ROLES.index(role)]


@dataclass(frozen=True, slots=True)
class Doing:
    """Who is asking, when, and which acts the token she showed is for (none named: all of hers)."""

    person: Person
    at: datetime
    acts: tuple[str, ...] = ()

    def reach(self, act: Act) -> Reach:
        if self.acts and (act is NEVER_ALONE or act not in self.acts):
            return "no"
        return reach(self.person.role, act)


class Owned(Protocol):
    """What belongs to a grower."""

    @property
    def grower_id(self) -> str: ...


Thing = TypeVar("Thing", bound=Owned)


def must(doing: Doing, act: Act) -> Reach:
    """How far she may; NotAllowed where not at all. Asked before anything is looked up."""
    found = doing.reach(act)
    if found == "no":
        raise NotAllowed(f"{doing.person.role} may not: {act}")
    return found


def whose(doing: Doing, act: Act) -> str | None:
    """The one grower whose things she may so treat; None means everybody's."""
    return doing.person.grower_id or "" if must(doing, act) == "own" else None


def seen(doing: Doing, act: Act, thing: Thing | None, what: str) -> Thing:
    """The thing, if it is there and may be so treated; NoSuchThing is the same answer for both."""
    own = whose(doing, act)
    if thing is None or (own is not None and thing.grower_id != own):
        raise NoSuchThing(f"there is no {what}")
    return thing
