"""Papers in order: what each grower and each process card has, and until when."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from api.records.house import Approval, Helper, KeptPaper
from api.records.told import Deed
from api.services.deeds import keep_deed
from api.services.errors import NoSuchThing, NotAllowed, OldVersion
from api.services.house import cards, grower_of, today_of
from api.services.ports import Book
from api.services.roles import Act, Doing, must, whose
from api.services.taking_in import keep_paper
from scheduler.domain.harvest import Grower
from scheduler.domain.process_card import ProcessCard
from scheduler.plan_file import value_from_json

SOON_DAYS = (60, 30, 7)  # common practice: warned so many days before


@dataclass(frozen=True, slots=True)
class GrowersPapers:
    """A grower's papers and her helpers', with the day they are read on."""

    grower: Grower
    papers: tuple[KeptPaper, ...]
    helpers: tuple[Helper, ...]
    today: date

    @property
    def in_order(self) -> bool:
        """Hers and her helpers', today (rule 15)."""
        return not self.grower.papers_short(self.today)


def papers(book: Book, doing: Doing) -> tuple[GrowersPapers, ...]:
    """Everybody's, or one's own."""
    own = whose(doing, Act.READ_PAPERS)
    today = today_of(book, doing.at)
    return tuple(
        GrowersPapers(
            grower=grower_of(book, entry.id),
            papers=book.papers.where(grower_id=entry.id),
            helpers=book.helpers.where(grower_id=entry.id),
            today=today,
        )
        for entry in book.growers.where()
        if own in (None, entry.id)
    )


@dataclass(frozen=True, slots=True)
class Letter:
    """A process card and the letter that was seen last for it; None where none was."""

    card: ProcessCard
    seen: Approval | None
    today: date


def letters(book: Book, doing: Doing) -> tuple[Letter, ...]:
    """Every process card, for who may read everybody's papers."""
    if whose(doing, Act.READ_PAPERS) is not None:
        raise NotAllowed(f"{doing.person.role} may read own papers only")
    today = today_of(book, doing.at)
    return tuple(Letter(card, book.approvals.last(card_id=card.id), today) for card in cards(book))


def days_left(paper: KeptPaper, today: date) -> int | None:
    """Whole days that it still holds, below nought once it has ended; None while it is missing."""
    return None if paper.until is None else (paper.until - today).days


def paper_seen(book: Book, doing: Doing, paper: KeptPaper) -> KeptPaper:
    """A person saw the paper and its last day; a helper not known before is written down."""
    must(doing, Act.KEEP_PAPERS)
    if book.growers.find(paper.grower_id) is None:
        raise NoSuchThing(f"there is no grower {paper.grower_id}")
    known = {each.name for each in book.helpers.where(grower_id=paper.grower_id)}
    if paper.helper and paper.helper not in known:
        book.helpers.add(Helper(paper.grower_id, paper.helper, doing.at))
    _keep_deed(book, doing, paper)
    return keep_paper(book, doing, paper)


def _keep_deed(book: Book, doing: Doing, paper: KeptPaper) -> None:
    """What is written down, and what stood there before, so that it can be taken back."""
    about = {"kind": paper.kind, "helper": paper.helper}
    before = book.papers.last(grower_id=paper.grower_id, **about)
    told = {**about, "until": paper.until, "before": before}
    keep_deed(book, doing, Act.KEEP_PAPERS, paper.grower_id, **told)


def last_deed(book: Book, paper: KeptPaper) -> Deed | None:
    """What was done last about that paper."""
    about = (paper.kind, paper.helper)
    every = book.deeds.where(act=str(Act.KEEP_PAPERS), subject=paper.grower_id)
    found = (each for each in reversed(every) if _about(each) == about)
    return next(found, None)


def _about(deed: Deed) -> tuple[str, str]:
    return deed.told.get("kind", ""), deed.told.get("helper", "")


def take_back(book: Book, doing: Doing, grower_id: str, number: int) -> KeptPaper:
    """The paper as it stood before that deed, as seen by who saw it then.

    NoSuchThing where nothing stood there; OldVersion where something was done about it since.
    """
    must(doing, Act.KEEP_PAPERS)
    deed = book.deeds.find(number)
    told = deed and deed.subject == grower_id and deed.told.get("before")
    if not told:
        raise NoSuchThing(f"there is no paper of {grower_id} to take back")
    before = value_from_json(KeptPaper, told, "before")
    last = last_deed(book, before)
    if last is None or last.number != number:
        raise OldVersion(
            f"{before.kind} of {grower_id} was written down anew meanwhile; look again"
        )
    _keep_deed(book, doing, before)
    book.papers.replace(before)
    return before


def card_approved(
    book: Book, doing: Doing, card_id: str, *, letter: str, until: date | None
) -> Approval:
    """A person saw the process authority's letter for a card."""
    must(doing, Act.KEEP_PAPERS)
    if book.cards.find(card_id) is None:
        raise NoSuchThing(f"there is no process card {card_id}")
    keep_deed(book, doing, Act.KEEP_PAPERS, card_id, letter=letter, until=until)
    return book.approvals.add(Approval(card_id, letter, until, doing.person.id, doing.at))
