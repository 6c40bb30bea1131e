"""How fast the served book answers: python -m tests.bench.load

August moved into next week, laid out by hand and posted, on the database of
COMMONRACK_DATABASE_URL, else on SQLite. `commonrack serve` is a process of its own; this one asks,
with so many clients at once, each of whom asks again as soon as she is answered. A small write is a
remark changed; a note comes with its verified answer. Figures are lines of JSON, with the load of
the machine beside them.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from http.client import HTTPConnection
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import Any

from api.records.people import Person
from api.records.plans import From
from api.services.asking import asked_of
from api.services.plans import keep
from api.services.posting import post
from api.services.taking_in import take_in
from api.services.weeks import week_entry
from api.store import DatabaseShelf, open_shelf
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.scenario import load
from tests.answer.posted import posted
from tests.bench.clients import CARDS
from tests.bench.serving import Served
from tests.book import MANAGER, doing, token_of
from tests.databases import fresh_url

Ask = Callable[[int], None]


def moved_to(asked: Asked, week: Week) -> Asked:
    """The same week at another time, by the kitchen's clock."""
    zone, days = asked.kitchen.zone, week.monday - asked.week.monday

    def later(at: datetime) -> datetime:
        return (at.astimezone(zone) + days).astimezone(UTC)

    notes = tuple(
        replace(each, arrives=later(each.arrives), latest_start=later(each.latest_start))
        for each in asked.notes
    )
    return replace(asked, week=week, notes=notes)


def fill(shelf: DatabaseShelf, week: Week, growers: Sequence[str]) -> list[str]:
    """The week taken in, laid out and posted; a token for the manager and for every grower."""
    now = datetime.now(UTC)
    by = doing(MANAGER, now)
    with shelf.writing() as book:
        take_in(book, by, moved_to(load("august"), week))
        people = [MANAGER]
        people += [Person(f"g{n}", "-", "grower", g, None, now) for n, g in enumerate(growers)]
        tokens = [token_of(book, book.people.add(each), now) for each in people]
        entry, asked = week_entry(book, week), asked_of(book, week, now=now)
        origin = From(entry.notes_version, entry.posted, MANAGER.id)
        number = keep(book.plans, asked, posted(asked), laid_out_at=now, origin=origin)
        post(book, by, number)
    return tokens


@dataclass(slots=True)
class Client:
    """One grower, or the manager, over one connection."""

    connection: HTTPConnection
    token: str
    grower_id: str
    random: Random
    week: Week
    own: str = ""
    version: str = ""

    def ask(self, method: str, path: str, body: Any = None, **headers: str) -> dict[str, Any]:
        """The answer's body; AssertionError unless it is as wished."""
        content = None if body is None else json.dumps(body)
        headers |= {"Authorization": f"Bearer {self.token}", "Content-Type": "application/json"}
        self.connection.request(method, f"/api/v1{path}", content, headers)
        answer = self.connection.getresponse()
        read = answer.read()
        assert answer.status in (200, 201), (answer.status, read[:300])
        self.version = answer.headers["ETag"] or self.version
        found: dict[str, Any] = json.loads(read)
        return found

    def note(self, number: int) -> None:
        day = self.week.monday + timedelta(days=self.random.randrange(5))
        wanted = {
            "grower_id": self.grower_id,
            "card_id": self.random.choice(CARDS),
            "field_kg": self.random.randint(8, 90),
            "arrives": f"{day}T{self.random.randint(8, 11):02}:00:00-05:00",
        }
        self.own = self.ask("POST", "/notes", wanted)["id"]

    def remark(self, number: int) -> None:
        said = {"remark": f"ripe {number}"}
        self.ask("PATCH", f"/notes/{self.own}", said, **{"If-Match": self.version})

    def day_sheet(self, number: int) -> None:
        day = self.week.days[number % 5]
        self.ask("GET", f"/day-sheets/{day}")


def measured(asks: Sequence[Ask], seconds: float) -> list[float]:
    """Seconds that each answer took, everybody asking without a pause for so long."""
    until = time.monotonic() + seconds

    def one(ask: Ask) -> Iterator[float]:
        number = 0
        while (begin := time.monotonic()) < until:
            ask(number)
            number += 1
            yield time.monotonic() - begin

    with ThreadPoolExecutor(len(asks)) as pool:
        return [each for took in pool.map(lambda ask: list(one(ask)), asks) for each in took]


def figures(what: str, took: list[float], clients: int, seconds: float) -> dict[str, Any]:
    took.sort()

    def ms(percent: int) -> float:
        return round(1000 * took[min(len(took) - 1, len(took) * percent // 100)], 1)

    many = {"clients": clients, "answers": len(took), "a_second": round(len(took) / seconds, 1)}
    return {"what": what, **many, "p50_ms": ms(50), "p99_ms": ms(99), "most_ms": ms(100)}


def ask_all(who: Sequence[Client], seconds: float) -> None:
    """Warmed up by a note each, which small writes then change."""
    for client in who:
        client.note(0)
    works: dict[str, list[Ask]] = {
        "day sheet": [each.day_sheet for each in who],
        "small write": [each.remark for each in who],
        "note with its answer": [each.note for each in who],
    }
    for what, asks in works.items():
        found = figures(what, measured(asks, seconds), len(who), seconds)
        sys.stdout.write(json.dumps(found | {"load": round(os.getloadavg()[0], 1)}) + "\n")
        sys.stdout.flush()


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--clients", type=int, nargs="+", default=[1, 16])
    asked.add_argument("--seconds", type=float, default=15)
    said = asked.parse_args()
    week = Week.of((datetime.now(UTC) + timedelta(days=7)).date())
    most = max(said.clients)
    known = [each.id for each in load("august").growers]
    growers = [known[n % len(known)] for n in range(most)]
    with TemporaryDirectory() as folder, fresh_url(Path(folder)) as url:
        with closing(open_shelf(url)) as shelf:
            manager, *tokens = fill(shelf, week, growers)
        served = Served(url, Path(folder) / "served.log")
        try:
            for many in said.clients:
                who = [
                    Client(HTTPConnection("127.0.0.1", served.port), token, grower, Random(n), week)
                    for n, (token, grower) in enumerate(zip(tokens, growers, strict=True))
                ][:many]
                who[0].token = manager  # she reads whole day sheets
                ask_all(who, said.seconds)
        finally:
            served.kill()


if __name__ == "__main__":
    main()
