"""Is anything lost when the server is killed again and again? python -m tests.bench.kill_the_server

64 growers note and let go for two weeks of one kitchen, two managers lay out and post them, and the
server is killed twenty times. On the database of COMMONRACK_DATABASE_URL, else on SQLite. The
figures are one line of JSON; the exit code is 1 on a breach.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections import Counter
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from threading import Event
from typing import Any

import httpx

from api.records.people import Person
from api.services.taking_in import take_in
from api.store import DatabaseShelf, open_shelf
from scheduler.domain.clock import Week
from scheduler.scenario import load
from tests.bench.afterwards import Found, read
from tests.bench.clients import PATIENCE_S, Asker, Heard, Term, grower, manager
from tests.bench.serving import Served
from tests.book import MANAGER, doing, token_of
from tests.databases import fresh_url

MANAGERS = 2
MAY_BE = ("post 409", "end 412")  # the notes, or the note, changed meanwhile
AT_WORK = 5  # writes acknowledged since it came back: only then is it killed again


@dataclass(frozen=True, slots=True)
class Size:
    clients: int = 64
    seconds: float = 120
    kills: int = 20


def kill_the_server(folder: Path, size: Size) -> tuple[dict[str, Any], Found]:
    """The figures, and what the book was found to be afterwards."""
    with fresh_url(folder) as url, closing(open_shelf(url)) as shelf:
        begin = datetime.now(UTC)
        growers = [each.id for each in load("august").growers]
        people = _people(size, growers, begin)
        tokens = _filled(shelf, people, begin)
        ended = Event()
        first = Week.of((begin + timedelta(days=7)).date())
        second = Week.of(first.monday + timedelta(days=7))
        term = Term((first, second), size.seconds / 6, ended.is_set)
        served = Served(url, folder / "served.log")
        try:
            with httpx.Client(
                base_url=f"{served.address}/api/v1",
                timeout=30,
                limits=httpx.Limits(max_connections=None),
            ) as http:
                askers = [Asker(http, each.id, tokens[each.id]) for each in people]
                works = [
                    partial(grower, asker, person.grower_id, term)
                    if person.grower_id
                    else partial(manager, asker, shelf, term)
                    for asker, person in zip(askers, people, strict=True)
                ]
                back = _at_work(works, served, [each.heard for each in askers], size, ended)
        finally:
            served.kill()
        heard = [each.heard for each in askers]
        with shelf.reading() as book:
            found = read(book, heard, term.weeks)
        took = (datetime.now(UTC) - begin).total_seconds()
        figures = {"database": shelf.engine.dialect.name, "clients": size.clients}
        figures |= {"seconds": round(took), "kills": len(back), "slowest_back_at_work_s": max(back)}
        return figures | _figures(heard, found), found


def _people(size: Size, growers: Sequence[str], at: datetime) -> list[Person]:
    managers = [Person(f"m{n}", "Lotte", "manager", None, None, at) for n in range(MANAGERS)]
    return managers + [
        Person(f"g{n}", "Odile", "grower", growers[n % len(growers)], None, at)
        for n in range(size.clients)
    ]


def _filled(shelf: DatabaseShelf, people: Sequence[Person], at: datetime) -> dict[str, str]:
    """August's kitchen and growers, taken in; a token for everyone."""
    with shelf.writing() as book:
        take_in(book, doing(MANAGER, at), load("august"))
        return {each.id: token_of(book, book.people.add(each), at) for each in people}


def _at_work(
    works: Sequence[Callable[[], None]],
    served: Served,
    heard: Sequence[Heard],
    size: Size,
    ended: Event,
) -> list[float]:
    """Everyone works until the last kill and the end of the time; seconds each return took."""

    with ThreadPoolExecutor(len(works)) as pool:
        doing_it = [pool.submit(work) for work in works]
        try:
            back = list(_kills(served, size, heard))
        finally:
            ended.set()
        for each in doing_it:
            each.result()
    return back


def _kills(served: Served, size: Size, heard: Sequence[Heard]) -> list[float]:
    """At uneven times, never before it has got to work again; seconds until it had."""
    random, begin, back = Random(size.kills), time.monotonic(), []
    for number in range(size.kills):
        at = begin + size.seconds * (number + random.uniform(0.5, 1)) / (size.kills + 1)
        back.append(_got_to_work(served, heard))
        time.sleep(max(random.uniform(0, 0.5), at - time.monotonic()))
        _cut_off(served, heard, random)
    back.append(_got_to_work(served, heard))
    time.sleep(max(0.0, begin + size.seconds - time.monotonic()))
    return back[1:]


def _cut_off(served: Served, heard: Sequence[Heard], random: Random) -> None:
    """Killed while it is asked something; once more, back at work, if that was answered in time."""
    before = _broken(heard)
    _kill(served, heard, random)
    while _broken(heard) == before:
        _got_to_work(served, heard)
        _kill(served, heard, random)


def _kill(served: Served, heard: Sequence[Heard], random: Random) -> None:
    until = time.monotonic() + PATIENCE_S
    while not any(each.asking for each in heard):
        assert time.monotonic() < until, "nothing is asked any more"
        time.sleep(0.001)
    time.sleep(random.uniform(0, 0.01))
    served.kill()
    served.again()
    time.sleep(0.2)  # a client hears of it at once


def _broken(heard: Sequence[Heard]) -> int:
    return sum(each.broken for each in heard)


def _got_to_work(served: Served, heard: Sequence[Heard]) -> float:
    def acknowledged() -> int:
        return sum(each.acknowledged for each in heard)

    begin, before = time.monotonic(), acknowledged()
    while acknowledged() < before + AT_WORK:
        served.must_live()
        assert time.monotonic() < begin + PATIENCE_S, "nothing is acknowledged any more"
        time.sleep(0.02)
    return round(time.monotonic() - begin, 1)


def _figures(heard: Sequence[Heard], found: Found) -> dict[str, Any]:
    refused = sum((each.refused for each in heard), Counter[str]())
    return {
        "notes": sum(len(each.noted) for each in heard),
        "let_go": sum(len(each.let_go) for each in heard),
        "posted": sum(len(each.posted) for each in heard),
        "refused": dict(sorted(refused.items())),
        "broken_requests": _broken(heard),
        "longest_wait_s": round(max(each.longest_s for each in heard), 1),
        "answered_again": found.answered_again,
        "double_promises": len(found.double_promises),
        "lost": len(found.lost),
        "repeated": len(found.repeated),
        "trail_faults": len(found.trail),
        "not_to_be_refused": sum(many for what, many in refused.items() if what not in MAY_BE),
    }


def main() -> int:
    asked = argparse.ArgumentParser(description=__doc__)
    for name, kind, usual in (("clients", int, 64), ("seconds", float, 120), ("kills", int, 20)):
        asked.add_argument(f"--{name}", type=kind, default=usual)
    size = Size(**vars(asked.parse_args()))
    with TemporaryDirectory() as folder:
        figures, found = kill_the_server(Path(folder), size)
        log = (Path(folder) / "served.log").read_text()
    sys.stdout.write(json.dumps(figures) + "\n")
    sys.stderr.writelines(f"{each}\n" for each in found.breaches)
    if figures["not_to_be_refused"]:
        sys.stderr.write(log[-20_000:])
    return int(bool(found.breaches or figures["not_to_be_refused"]))


if __name__ == "__main__":
    sys.exit(main())
