"""The kitchen itself, its members and their papers, its process cards and their approvals."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from scheduler.domain.harvest import Grower
from scheduler.domain.kitchen import Kitchen
from scheduler.domain.process_card import ProcessCard


@dataclass(frozen=True, slots=True)
class KitchenSettings:
    """One version of the kitchen's settings; the newest is in force."""

    kitchen: Kitchen
    since: datetime
    by: str
    number: int = 0


@dataclass(frozen=True, slots=True)
class GrowerEntry:
    """A member; her papers are kept beside, so grower.papers is empty here. telephone: "" where the
    kitchen has no number of hers."""

    id: str
    grower: Grower
    version: int = 1
    telephone: str = ""


@dataclass(frozen=True, slots=True)
class Helper:
    """Somebody who comes to work with a grower."""

    grower_id: str
    name: str
    since: datetime
    number: int = 0


@dataclass(frozen=True, slots=True)
class KeptPaper:
    """A paper of a grower, or of a helper of hers; until None means that it is missing."""

    grower_id: str
    helper: str  # "" for the grower's own
    kind: str
    until: date | None
    seen_by: str
    seen_at: datetime
    number: int = 0


@dataclass(frozen=True, slots=True)
class CardEntry:
    """A process card; approvals are kept beside, so card.approved is False here."""

    id: str
    card: ProcessCard
    version: int = 1


@dataclass(frozen=True, slots=True)
class Approval:
    """The process authority's letter for a card, as a person saw it; the last one seen counts."""

    card_id: str
    letter: str
    until: date | None  # None: it has no last day
    seen_by: str
    seen_at: datetime
    number: int = 0
