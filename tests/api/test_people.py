"""People log in, are invited and leave; secrets are shown once and kept as hashes."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from api.services.errors import NoSuchThing, NotAllowed, NotKnown, NotNow, TooOften
from api.services.passwords import hashed
from api.services.people import (
    COMMAND_LINE,
    NewPerson,
    add_person,
    invite,
    leave,
    log_in,
    named,
    new_hash,
    people,
    proved,
    set_password,
)
from api.services.ports import Book
from api.services.roles import Act, must
from api.services.taking_in import take_in
from api.services.throttle import Throttle
from api.services.tokens import SESSION, Given, Wanted, give, known, own_tokens, revoke
from api.store import DatabaseShelf
from scheduler.errors import BadInput
from scheduler.scenario import load
from tests.book import doing
from tests.shelves import FRIDAY, fresh_shelf

SYSTEM = doing(COMMAND_LINE)
PASSWORD = "warm racks, cool store"
LOTTES = hashed(PASSWORD)


def august_and_two(shelf: DatabaseShelf) -> None:
    with shelf.writing() as book:
        take_in(book, SYSTEM, load("august"))
        add_person(book, SYSTEM, NewPerson("lotte", "Lotte", "manager", None, LOTTES))
        add_person(book, SYSTEM, NewPerson("odile", "Odile", "grower", "G01"))


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    with fresh_shelf(tmp_path, august_and_two) as shelf, shelf.writing() as found:
        yield found


def entered(book: Book, login: str, password: str) -> Given:
    return log_in(book, proved(named(book, login), password), FRIDAY)


def test_who_knows_the_password_is_known_for_half_a_day(book: Book):
    given = entered(book, "lotte", PASSWORD)
    later = FRIDAY + SESSION - timedelta(seconds=1)
    assert known(book, given.secret, ("session",), later).person.id == "lotte"
    with pytest.raises(NotKnown):
        known(book, given.secret, ("session",), FRIDAY + SESSION)
    with pytest.raises(NotKnown):
        known(book, given.secret, ("api",), FRIDAY)


@pytest.mark.parametrize(
    ("login", "password"), [("lotte", "x"), ("nobody", PASSWORD), ("odile", "")]
)
def test_everybody_else_hears_the_same_words(book: Book, login: str, password: str):
    with pytest.raises(NotKnown, match="do not go together"):
        entered(book, login, password)


def test_secrets_are_not_kept(book: Book):
    given = entered(book, "lotte", PASSWORD)
    kept = book.tokens.find(given.token.id)
    assert kept is not None
    assert given.secret.partition(".")[2] not in repr(kept)
    person = book.people.find("lotte")
    assert person is not None
    assert (person.password_hash or "").startswith("$argon2id$")


def test_a_new_password_ends_every_session(book: Book):
    given = entered(book, "lotte", PASSWORD)
    asking = known(book, given.secret, ("session",), FRIDAY)
    with pytest.raises(NotKnown):
        new_hash(asking, "something else", "long enough to do")
    with pytest.raises(BadInput):
        new_hash(asking, PASSWORD, "short")
    with pytest.raises(NotKnown):
        set_password(book, asking, was="what it was", password_hash="new")
    secret = new_hash(asking, PASSWORD, "long enough to do")
    set_password(book, asking, was=LOTTES, password_hash=secret)
    with pytest.raises(NotKnown):
        known(book, given.secret, ("session",), FRIDAY)
    assert entered(book, "lotte", "long enough to do")


OWN_TO_READ = {
    Act.READ_DAY_SHEET, Act.READ_NOTES, Act.READ_TURNS, Act.READ_LOTS, Act.READ_FEES,
    Act.READ_PAPERS,
}  # fmt: skip


def test_an_invitation_reads_her_own_and_nothing_else(book: Book):
    first = invite(book, SYSTEM, "odile")
    asking = known(book, first.secret, ("invitation",), FRIDAY)
    for act in OWN_TO_READ:
        assert must(asking, act) == "own"
    assert must(asking, Act.OWN_SETTINGS) == "all"  # in which language and units
    for act in set(Act) - OWN_TO_READ - {Act.OWN_SETTINGS}:
        with pytest.raises(NotAllowed):
            must(asking, act)
    invite(book, SYSTEM, "odile")
    with pytest.raises(NotKnown):
        known(book, first.secret, ("invitation",), FRIDAY)
    with pytest.raises(NotNow):
        invite(book, SYSTEM, "lotte")


def test_who_has_left_is_no_longer_known(book: Book):
    given = invite(book, SYSTEM, "odile")
    leave(book, SYSTEM, "odile")
    with pytest.raises(NotKnown):
        known(book, given.secret, ("invitation",), FRIDAY)
    assert [each.id for each in people(book, SYSTEM)] == ["lotte"]
    with pytest.raises(NoSuchThing):
        leave(book, SYSTEM, "odile")


def test_a_token_does_no_more_than_it_is_for(book: Book):
    lotte = known(book, entered(book, "lotte", PASSWORD).secret, ("session",), FRIDAY)
    given = give(book, lotte.person, Wanted("api", ("read board paper",), "shed"), FRIDAY)
    asking = known(book, given.secret, ("api",), FRIDAY)
    assert must(asking, Act.READ_BOARD) == "all"
    with pytest.raises(NotAllowed):
        must(asking, Act.POST)
    for act in ("fly", "keep people"):
        with pytest.raises(BadInput):
            give(book, lotte.person, Wanted("api", (act,)), FRIDAY)
    with pytest.raises(NotAllowed):
        must(doing(lotte.person, acts=("keep people",)), Act.KEEP_PEOPLE)
    revoke(book, lotte, given.token.id)
    with pytest.raises(NotKnown):
        known(book, given.secret, ("api",), FRIDAY)
    assert [each.kind for each in own_tokens(book, lotte)] == ["session"]


def test_nobody_learns_of_another_ones_token(book: Book):
    odile = book.people.find("odile")
    assert odile is not None
    lottes = entered(book, "lotte", PASSWORD).token.id
    for token_id in (lottes, "nothing"):
        with pytest.raises(NoSuchThing, match=f"there is no token {token_id}"):
            revoke(book, doing(odile), token_id)


@pytest.mark.parametrize(
    "new",
    [
        NewPerson("lotte", "Again", "hand"),
        NewPerson("Big Name", "Spaces", "hand"),
        NewPerson("gus", "No page", "grower"),
        NewPerson("gus", "No such page", "grower", "G99"),
        NewPerson("gus", "A hand with a page", "hand", "G01"),
    ],
)
def test_who_cannot_be_added(book: Book, new: NewPerson):
    with pytest.raises(BadInput):
        add_person(book, SYSTEM, new)


def test_a_name_and_an_address_may_be_tried_so_often():
    throttle = Throttle()
    for _ in range(5):
        throttle.count("lotte", "here")
    with pytest.raises(TooOften) as refused:
        throttle.count("lotte", "here")
    throttle.count("lotte", "there")  # who is elsewhere keeps nobody out
    assert 0 < refused.value.wait_s <= 60
    for number in range(15):
        throttle.count(f"name {number}", "here")
    with pytest.raises(TooOften):
        throttle.count("one more", "here")


def test_a_password_that_was_changed_meanwhile_opens_nothing(book: Book):
    found = proved(named(book, "lotte"), PASSWORD)
    set_password(book, doing(found), was=LOTTES, password_hash="another")
    with pytest.raises(NotKnown):
        log_in(book, found, FRIDAY)
