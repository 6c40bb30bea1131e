"""Who may ask for what: every route, by every role."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

from api.services.roles import ROLES
from scheduler.domain.plan import Plan
from tests.served import AUGUST, TOMATO, WEEK, Kitchen, opened

CHECK = {
    "readings": [{"rack": 1, "water_activity": 0.5, "moisture_percent": 8.0}],
    "decision": "hold",
    "decided_by": "Lotte Amberry",
}
RUNG = {"grower_id": "G09", "about": ["no-answer_R10"]}
ROUTES: list[tuple[str, str, Any, str]] = [
    ("GET", f"/api/v1/weeks/{WEEK}", None, "manager hand"),
    ("GET", f"/api/v1/weeks/{WEEK}/plans", None, "manager hand"),
    ("GET", f"/api/v1/weeks/{WEEK}/fees", None, "manager hand grower"),
    ("GET", f"/api/v1/weeks/{WEEK}/calls", None, "manager hand"),
    ("POST", f"/api/v1/weeks/{WEEK}/calls", RUNG, "manager hand"),
    ("GET", "/api/v1/plans/1", None, "manager hand"),
    ("GET", "/api/v1/plans/1/beside/1", None, "manager hand"),
    ("POST", f"/api/v1/weeks/{WEEK}/post", {"plan": 1}, "manager"),
    ("POST", "/api/v1/weeks/2026-W35/standing-lots", None, "manager"),
    ("GET", "/api/v1/day-sheets/2026-08-18", None, "manager hand grower"),
    ("GET", "/api/v1/day-sheets/2026-08-14/night", None, "manager hand on_call"),
    ("GET", "/api/v1/day-sheets/2026-08-18/ticks", None, "manager hand"),
    ("POST", "/api/v1/day-sheets/2026-08-18/ticks", {"key": "wash R03 W1"}, "manager hand"),
    ("GET", "/api/v1/notes", None, "manager hand grower"),
    ("GET", "/api/v1/notes/R02", None, "manager hand grower"),
    ("POST", "/api/v1/notes", TOMATO, "manager hand grower"),
    ("POST", "/api/v1/notes/import", "file", "manager"),
    ("PATCH", "/api/v1/notes/R02", {"remark": "ripe"}, "manager hand grower"),
    ("POST", "/api/v1/notes/R02/end", {"state": "let go"}, "manager hand grower"),
    ("POST", "/api/v1/notes/R02/end", {"state": "stood down"}, "manager"),
    ("POST", "/api/v1/notes/R02/end", {"state": "no-show"}, "manager hand"),
    ("POST", "/api/v1/notes/R02/carry-over", {"arrives": TOMATO["arrives"]}, "manager"),
    ("GET", "/api/v1/notes/R02/places", None, "manager hand"),
    ("POST", "/api/v1/notes/R02/place", {"kind": "split"}, "manager hand"),
    ("POST", "/api/v1/notes/R02/later/look", {"arrives": TOMATO["arrives"]}, "manager hand"),
    ("POST", "/api/v1/notes/R02/later", {"arrives": TOMATO["arrives"]}, "manager hand"),
    ("GET", f"/api/v1/weeks/{WEEK}/offers", None, "manager hand"),
    ("GET", "/api/v1/standing-lots", None, "manager"),
    ("GET", f"/api/v1/turns?week={WEEK}", None, "manager hand grower"),
    ("GET", "/api/v1/lots", None, "manager hand grower"),
    ("POST", "/api/v1/lots", {"note_id": "R01", "weighed_kg": 1}, "manager hand"),
    ("POST", "/api/v1/lots/X/dry-checks", CHECK, "manager hand"),
    ("GET", "/api/v1/held", None, "manager hand"),
    ("GET", "/api/v1/held/X", None, "manager hand"),
    ("POST", "/api/v1/held/X/back-to-dryer", {"dryer_id": "D1"}, "manager hand"),
    ("POST", "/api/v1/held/X/discard", {"why": "mould"}, "manager hand"),
    ("GET", "/api/v1/corrective-actions", None, "manager hand"),
    ("POST", "/api/v1/corrective-actions/1", {"close": False}, "manager hand"),
    ("POST", "/api/v1/lots/X/corrections", {"bags": 1, "why": "x"}, "manager hand"),
    ("POST", "/api/v1/runs/1/corrections", {"why": "x"}, "manager hand"),
    ("POST", "/api/v1/lots/X/collected", {"bags": 1, "to": "x"}, "manager hand"),
    ("GET", f"/api/v1/runs?week={WEEK}", None, "manager hand"),
    ("POST", "/api/v1/runs", {"dryer_id": "D1"}, "manager hand"),
    ("GET", "/api/v1/runs/1", None, "manager hand"),
    ("POST", "/api/v1/runs/1/end", {}, "manager hand"),
    ("POST", "/api/v1/runs/1/unload", {}, "manager hand"),
    ("GET", "/api/v1/papers", None, "manager grower"),
    ("PUT", "/api/v1/papers/growers/G01", {"kind": "x", "until": None}, "manager"),
    ("POST", "/api/v1/papers/cards/tomato", {"letter": "x"}, "manager"),
    ("GET", "/api/v1/kitchen", None, "manager hand"),
    ("GET", "/api/v1/kitchen/history", None, "manager hand"),
    ("PATCH", "/api/v1/kitchen", {"closures": []}, "manager"),
    ("GET", "/api/v1/growers", None, "manager hand"),
    ("GET", "/api/v1/growers/G01", None, "manager hand"),
    ("PATCH", "/api/v1/growers/G01", {"shares": 5}, "manager"),
    ("GET", "/api/v1/process-cards", None, "manager hand"),
    ("GET", "/api/v1/lay-outs", None, "manager"),
    ("POST", "/api/v1/lay-outs", {"week": WEEK}, "manager"),
    ("GET", "/api/v1/lay-outs/1", None, "manager"),
    ("POST", "/api/v1/lay-outs/1/stop", None, "manager"),
    ("GET", f"/api/v1/weeks/{WEEK}/wishes", None, "manager hand"),
    ("POST", f"/api/v1/weeks/{WEEK}/wishes", {"kind": "pin", "note_id": "R01"}, "manager"),
    ("POST", f"/api/v1/weeks/{WEEK}/wishes/judged", {"kind": "pin", "note_id": "R01"}, "manager"),
    ("POST", "/api/v1/wishes/1/undo", None, "manager"),
    ("POST", "/api/v1/re-lays", {"week": WEEK}, "manager hand"),
    ("GET", "/api/v1/re-lays/1", None, "manager hand"),
    ("POST", "/api/v1/suppositions", {"week": WEEK, "kind": "table"}, "manager"),
    ("GET", "/api/v1/suppositions/1", None, "manager"),
    ("POST", "/api/v1/suppositions/1/stop", None, "manager"),
    ("GET", "/api/v1/outages", None, "manager hand on_call"),
    ("POST", "/api/v1/outages", {"station_id": "D1"}, "manager hand on_call"),
    ("GET", "/api/v1/outages/1/night-log", None, "manager hand on_call"),
    ("POST", "/api/v1/outages/1/night-log", {"seen": "noted"}, "manager hand on_call"),
    (
        "POST",
        "/api/v1/outages/1/decisions",
        {"part": "R09", "decision": "x", "decided_by": "y"},
        "manager hand on_call",
    ),
    ("GET", f"/api/v1/board?first={WEEK}&last={WEEK}", None, "manager board"),
    ("POST", "/api/v1/board/suppositions", {"year": 2026, "changes": ["dryer"]}, "manager board"),
    ("GET", "/api/v1/board/suppositions/1", None, "manager board"),
    ("POST", "/api/v1/board/suppositions/1/stop", None, "manager board"),
    ("GET", "/api/v1/invoices?month=2026-08-01", None, "manager grower"),
    ("GET", "/api/v1/messages", None, "manager"),
    ("GET", "/api/v1/deeds", None, "manager"),
    ("GET", "/api/v1/people", None, "manager"),
    ("POST", "/api/v1/people/odile/invitation", None, "manager"),
    ("GET", "/api/v1/tokens", None, "manager hand grower board on_call"),
    ("GET", "/api/v1/me", None, "manager hand grower board on_call"),
]


@pytest.fixture(scope="module")
def standing(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Kitchen]:
    """One kitchen for the whole table: what a request does there matters to no other."""
    with opened(tmp_path_factory.mktemp("standing")) as found:
        found.laid_out(replace(Plan(AUGUST.week, "full", (), ())))
        yield found


@pytest.mark.parametrize(("method", "path", "body", "roles"), ROUTES)
def test_every_route_asks_for_the_role(
    standing: Kitchen, method: str, path: str, body: Any, roles: str
):
    more: dict[str, Any] = {"files": {"file": b"x"}} if body == "file" else {"json": body}
    for role in ROLES:
        answer = standing.by[role].ask(method, path, headers={"If-Match": '"99"'}, **more)
        assert (answer.status_code == 403) == (role not in roles.split()), (role, answer.text)
        assert answer.status_code < 500
    known_page = {"Origin": "http://kitchen", "If-Match": '"99"'}
    assert standing.nobody().ask(method, path, headers=known_page, **more).status_code == 401
