"""People with a session at the pages of a served kitchen, as after logging in."""

from __future__ import annotations

import json
import re
from base64 import b64encode
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

import httpx
from itsdangerous import TimestampSigner

from api.records.people import Role
from api.services.ports import Shelf
from api.services.tokens import SESSION, Wanted, give
from scheduler.domain.plan import Plan
from tests.asking import Asking
from tests.book import PEOPLE
from tests.served import WEEK, Kitchen, opened
from tests.shelves import FRIDAY
from web.app import create_site

KEY = "k"  # what signs cookies: create_site(shelf, key=KEY)
HOME = {"Origin": "http://kitchen"}


@contextmanager
def with_posted(folder: Path, plan: Plan, *, at: datetime | None = None) -> Iterator[Kitchen]:
    """The August kitchen's pages, that plan posted on the Friday before; the clock then stands
    at."""
    with opened(folder, create_site, key=KEY) as found:
        number = found.laid_out(plan)
        found.by["manager"].post(f"/api/v1/weeks/{WEEK}/post", {"plan": number})
        if at is not None:
            found.now[0] = at
        yield found


def cookie(shelf: Shelf, role: Role) -> str:
    """The session cookie of that role's person."""
    with shelf.writing() as book:
        given = give(book, PEOPLE[role], Wanted("session", lasts=SESSION * 1000), FRIDAY)
    told = b64encode(json.dumps({"token": given.secret}).encode())
    return TimestampSigner(KEY).sign(told).decode()


def entered(kitchen: Kitchen, role: Role) -> Asking:
    """That role's person, logged in; the site must be opened with key=KEY."""
    found = kitchen.nobody()
    # a host without a dot is "local" to a jar of cookies (RFC 2965)
    found.cookies.set("commonrack", cookie(kitchen.shelf, role), domain="kitchen.local", path="/")
    return found


def send(asker: Asking, path: str, said: dict[str, str], *, form: str = "") -> httpx.Response:
    """Fills in the form of the page at that path (or that sends to `form`) and sends it."""
    page = asker.get(path).text
    action = form or path
    found = re.search(rf'<form[^>]*action="{re.escape(action)}".*?</form>', page, re.DOTALL)
    assert found, f"{path} has no form to {action}"
    hidden = re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', found[0])
    return asker.ask("POST", action, data=dict(hidden) | said, headers=HOME)


def words(html: str) -> str:
    """What can be read of it."""
    return " ".join(re.sub("<[^>]+>", " ", html).split())
