"""Clients of a service that keeps dying: each repeats a request, under its key, until answered."""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from itertools import count
from random import Random
from typing import Any

import httpx

from api.records.plans import From
from api.services.asking import asked_of
from api.services.plans import keep
from api.services.ports import Shelf
from api.services.weeks import week_entry
from scheduler.domain.clock import Week
from tests.answer.posted import posted

CARDS = ("tomato", "kale", "carrot", "onion", "beet")
PATIENCE_S = 400.0
REST_S = 1.5  # of a manager: laying out by hand takes computing from everyone else
LETS_GO, OF_A_QUIET_WEEK = 0.8, 0.03  # how often
PAUSE_S = 3.0  # of a grower between two acts, at most


@dataclass(frozen=True, slots=True)
class Acknowledged:
    """A write that the client was told is done. what: a note's id, or a plan's number.

    remark: what only this client wrote on only this note. tried: when it was sent last.
    """

    what: str
    week: Week
    tried: datetime
    remark: str = ""


@dataclass(slots=True)
class Heard:
    """All that one client was told; broken: tries that ended without an answer once begun.

    asking: whether a try is under way. refused: by what was asked and the status. longest_s: from
    first asking to being answered.
    """

    noted: list[Acknowledged] = field(default_factory=list)
    let_go: list[Acknowledged] = field(default_factory=list)
    posted: list[Acknowledged] = field(default_factory=list)
    refused: Counter[str] = field(default_factory=Counter)
    asking: bool = False
    broken: int = 0
    longest_s: float = 0.0

    @property
    def acknowledged(self) -> int:
        return len(self.noted) + len(self.let_go) + len(self.posted)


class Asker:
    """One client with her token; she hardly ever gives up."""

    def __init__(self, http: httpx.Client, name: str, token: str) -> None:
        self.http = http
        self.name = name
        self.headers = {"Authorization": f"Bearer {token}"}
        self.keys = count()
        self.random = Random(name)
        self.heard = Heard()
        self.tried = datetime.now(UTC)

    def get(self, path: str) -> httpx.Response:
        return self._until_answered("read", lambda: self.http.get(path, headers=self.headers))

    def post(self, path: str, body: dict[str, Any], version: str = "") -> httpx.Response:
        own = {"Idempotency-Key": f"{self.name}-{next(self.keys)}", "If-Match": version}
        headers = self.headers | {name: value for name, value in own.items() if value}
        return self._until_answered(
            path.rpartition("/")[2], lambda: self.http.post(path, json=body, headers=headers)
        )

    def _until_answered(self, what: str, ask: Callable[[], httpx.Response]) -> httpx.Response:
        begin = time.monotonic()
        while time.monotonic() < begin + PATIENCE_S:
            self.tried = datetime.now(UTC)
            self.heard.asking = True
            try:
                answer = ask()
            except httpx.ConnectError:
                pass  # there is nobody yet
            except httpx.TransportError:
                self.heard.broken += 1
            else:
                if not answer.is_success:
                    self.heard.refused[f"{what} {answer.status_code}"] += 1
                self.heard.longest_s = max(self.heard.longest_s, time.monotonic() - begin)
                return answer
            finally:
                self.heard.asking = False
            time.sleep(self.random.uniform(0.1, 1))
        raise TimeoutError(f"{self.name} was never answered")


@dataclass(frozen=True, slots=True)
class Term:
    """The time the clients have, and its weeks: one is noted for while the other is laid out."""

    weeks: tuple[Week, Week]
    phase_s: float
    over: Callable[[], bool]

    @property
    def turn(self) -> int:
        return int(time.monotonic() / self.phase_s) % 2

    @property
    def busy(self) -> Week:
        return self.weeks[self.turn]

    @property
    def quiet(self) -> Week:
        return self.weeks[1 - self.turn]


def grower(asker: Asker, grower_id: str, term: Term) -> None:
    """Notes, and lets most of them go again."""
    random = asker.random
    own: list[Acknowledged] = []
    while not term.over():
        own += _note(asker, grower_id, term.busy, random)
        week = term.quiet if random.random() < OF_A_QUIET_WEEK else term.busy
        chosen = [each for each in own if each.week == week]
        if chosen and random.random() < LETS_GO:
            gone = random.choice(chosen)
            own.remove(gone)
            _let_go(asker, gone)
        time.sleep(random.uniform(0, PAUSE_S))


def _note(asker: Asker, grower_id: str, week: Week, random: Random) -> list[Acknowledged]:
    remark = f"{asker.name}/{len(asker.heard.noted)}"
    day = week.monday + timedelta(days=random.randrange(5))
    wanted = {
        "grower_id": grower_id,
        "card_id": random.choice(CARDS),
        "field_kg": random.randint(8, 40),
        "arrives": f"{day}T{random.randint(8, 11):02}:00:00-05:00",
        "remark": remark,
    }
    answer = asker.post("/notes", wanted)
    if not answer.is_success:
        return []
    noted = Acknowledged(answer.json()["id"], week, asker.tried, remark)
    asker.heard.noted.append(noted)
    return [noted]


def _let_go(asker: Asker, noted: Acknowledged) -> None:
    """With the version just seen; where posting was faster, look again."""
    path = f"/notes/{noted.what}"
    while True:
        version = asker.get(path).headers.get("ETag", "")
        answer = asker.post(f"{path}/end", {"state": "let go"}, version)
        if answer.is_success:
            done = Acknowledged(noted.what, noted.week, asker.tried, noted.remark)
            asker.heard.let_go.append(done)
        if answer.status_code != httpx.codes.PRECONDITION_FAILED:
            return


def manager(asker: Asker, shelf: Shelf, term: Term) -> None:
    """Lays out by hand, as a worker would keep it, and posts; another one does the same."""
    while not term.over():
        week = term.quiet
        number = _laid_out(shelf, week)
        answer = asker.post(f"/weeks/{week}/post", {"plan": number})
        if answer.is_success:
            asker.heard.posted.append(Acknowledged(str(number), week, asker.tried))
        time.sleep(REST_S)


def _laid_out(shelf: Shelf, week: Week) -> int:
    now = datetime.now(UTC)
    with shelf.reading() as book:
        entry, asked = week_entry(book, week), asked_of(book, week, now=now)
    plan = posted(asked)
    with shelf.writing() as book:
        origin = From(entry.notes_version, entry.posted, "lotte")
        return keep(book.plans, asked, plan, laid_out_at=now, origin=origin)
