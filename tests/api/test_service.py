"""The service answers with the plan that stands, and with problems where it cannot."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Iterator
from contextlib import AbstractContextManager
from pathlib import Path
from urllib.parse import quote

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from api.app import create_service
from api.services.job_ports import Jobs
from api.services.ports import Book
from api.store import DatabaseShelf
from scheduler.cli.commands import sheet_json
from scheduler.day_sheet import day_sheet
from scheduler.domain.asked import Asked
from scheduler.scenario import load
from tests.asking import Asking
from tests.book import MANAGER, token_of
from tests.lent import lent
from tests.printed_plan import printed_plan
from tests.served import august_and_people
from tests.shelves import FRIDAY, fresh_shelf, put
from tests.worked_day import worked_day


@pytest.fixture(scope="module")
def august() -> Asked:
    return load("august")


@pytest.fixture
def shelf(tmp_path: Path) -> Iterator[DatabaseShelf]:
    with fresh_shelf(tmp_path, august_and_people) as found:
        yield found


@pytest.fixture
def service(shelf: DatabaseShelf) -> Iterator[Asking]:
    with shelf.writing() as book:
        token = token_of(book, MANAGER)
    with lent(create_service, shelf, lambda: FRIDAY) as app:
        yield Asking(app, token)


def test_a_week_is_answered_in_figures(service: Asking, shelf: DatabaseShelf, august: Asked):
    number = put(shelf, august, printed_plan(august))
    answer = service.get("/api/v1/weeks/2026-W34")
    body = answer.json()
    assert answer.status_code == 200
    assert (body["plan"], body["state"], body["rules"]) == (number, "pencilled", "simple")
    assert body["rescued"]["placed_field_kg"] == 1_380
    use = next(each for each in body["fractions"] if each["name"] == "Rack use")
    assert (use["numerator"], use["denominator"]) == (5_909, 11_592)
    assert [dryer["id"] for dryer in body["dryers"]] == ["D1", "D2", "D3", "D4"]
    assert body["dryers"][3]["runs"][0]["start"] == "2026-08-17T11:00:00-04:00"
    assert [each["code"] for each in body["waiting"]] == ["R11", "R25"]


def test_a_week_with_a_proof_tells_its_gap(service: Asking, shelf: DatabaseShelf, august: Asked):
    put(shelf, august, worked_day(august))
    proof = service.get("/api/v1/weeks/2026-W34").json()["proof"]
    assert (proof["worth_kg"], proof["bound_kg"]) == (185.75, 210)
    assert proof["gap"] == pytest.approx(24.25 / 210)


def test_a_day_sheet_is_the_one_the_terminal_prints(
    service: Asking, shelf: DatabaseShelf, august: Asked
):
    plan = worked_day(august)
    put(shelf, august, plan)
    for day in august.days:
        answer = service.get(f"/api/v1/day-sheets/{day}")
        assert answer.json() == json.loads(sheet_json(day_sheet(august, plan, day)))


def test_the_monday_after_is_answered_from_the_week_before(
    service: Asking, shelf: DatabaseShelf, august: Asked
):
    put(shelf, august, worked_day(august))
    assert service.get("/api/v1/day-sheets/2026-08-24").json()["week"] == "2026-W34"
    assert service.get("/api/v1/day-sheets/2026-08-25").status_code == 404


@pytest.mark.parametrize(
    ("path", "status", "kind"),
    [
        ("/api/v1/weeks/2026-W34", 404, "urn:commonrack:problem:no-such-plan"),
        ("/api/v1/day-sheets/2026-08-18", 404, "urn:commonrack:problem:no-such-plan"),
        ("/api/v1/weeks/august", 422, "urn:commonrack:problem:bad-input"),
        ("/api/v1/weeks/2026-W99", 422, "urn:commonrack:problem:bad-input"),
        ("/api/v1/day-sheets/tuesday", 422, "urn:commonrack:problem:bad-input"),
        ("/api/v1/nothing", 404, "about:blank"),
    ],
)
def test_what_cannot_be_answered_is_a_problem(service: Asking, path: str, status: int, kind: str):
    answer = service.get(path)
    body = answer.json()
    assert answer.headers["content-type"] == "application/problem+json"
    assert (answer.status_code, body["status"], body["type"]) == (status, status, kind)
    assert body["instance"] == path
    assert body["title"]
    assert body["detail"]


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.sampled_from(["weeks", "day-sheets"]), st.text(min_size=1, max_size=12))
def test_nothing_that_can_be_asked_is_our_mistake(service: Asking, subject: str, asked: str):
    answer = service.get(f"/api/v1/{subject}/{quote(asked, safe='')}")
    assert answer.status_code in {307, 404, 422}  # 307: a slash too many
    if answer.status_code != 307:
        assert answer.headers["content-type"] == "application/problem+json"


def test_a_problem_with_the_request_says_where(service: Asking):
    (fault,) = service.get("/api/v1/weeks/august").json()["faults"]
    assert fault == {
        "where": "week",
        "message": "'august' is no ISO week; write it like 2026-W34",
    }


def test_our_own_mistakes_tell_nothing_of_the_inside():
    class Broken:
        def reading(self) -> AbstractContextManager[Book]:
            raise RuntimeError("a secret")

        writing = rehearsing = reading

        def working(self) -> AbstractContextManager[Jobs]:
            raise RuntimeError

    answer = Asking(create_service(Broken()), "a.b").get("/api/v1/weeks/2026-W34")
    assert answer.status_code == 500
    assert answer.headers["content-type"] == "application/problem+json"
    assert "secret" not in answer.text


def test_the_service_describes_itself(service: Asking):
    described = service.get("/api/openapi.json").json()
    assert described["openapi"].startswith("3.1")
    for path, operations in described["paths"].items():
        for operation in operations.values():
            told = set(operation["responses"])
            assert path in ("/health", "/ready") or {"401", "403", "422"} <= told, path
            for status, response in operation["responses"].items():
                if status >= "400":
                    assert set(response["content"]) == {"application/problem+json"}
    posts = [path["post"] for path in described["paths"].values() if "post" in path]
    bodies = [each["requestBody"] for each in posts if "requestBody" in each]
    for body in bodies:
        for media in (media for kind, media in body["content"].items() if kind.endswith("json")):
            name = media["schema"]["$ref"].rpartition("/")[2]
            assert described["components"]["schemas"][name].get("examples"), name


def test_serving_loads_no_solver():
    program = (
        "import sys, api.app, web.app\n"
        "solver = {'ortools', 'highspy', 'scheduler.planning', 'scheduler.model'}\n"
        "loaded = solver & set(sys.modules)\n"
        "assert not loaded, loaded\n"
    )
    subprocess.run([sys.executable, "-c", program], check=True)


def test_health_needs_no_log_in_and_measures_name_no_one(service: Asking):
    service.headers = {}
    assert service.get("/health").json() == {"status": "alive"}
    assert service.get("/ready").json() == {"status": "ready"}
    service.get("/api/v1/notes/secret-name")
    measures = Asking(service.app, base_url="http://127.0.0.1").get("/metrics").text
    assert 'route="/api/v1/notes/{note_id}",status="401"' in measures
    assert "secret-name" not in measures
