"""Whatever is asked of the whole API, it answers as it says it will, and never with our mistake.

Schemathesis reads the description and makes the requests: a few hundred, the same on every run;
thousands, and every border of every field, where COMMONRACK_EVERY_CASE is set.
"""

from __future__ import annotations

import logging
import os
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path
from typing import Any

import pytest
import schemathesis
from schemathesis.config import HealthCheck, SchemathesisConfig
from schemathesis.engine import events, from_schema
from schemathesis.generation import GenerationMode
from schemathesis.hooks import unregister

from api.app import create_service
from api.records.people import Role
from api.records.plans import From
from api.services.asking import asked_of
from api.services.lots import door
from api.services.plans import keep
from api.services.posting import post
from api.services.weeks import week_entry
from api.store import DatabaseShelf
from scheduler.domain.plan import Plan
from scheduler.scenario import load
from scheduler.units import Grams
from tests.asking import Asking
from tests.book import MANAGER, PEOPLE, doing, token_of
from tests.served import august_and_people
from tests.shelves import FRIDAY, fresh_shelf

AUGUST = load("august")
EVERY_CASE = bool(os.environ.get("COMMONRACK_EVERY_CASE"))
FUZZED, WALKS = (6, 120) if EVERY_CASE else (1, 16)  # requests a route; walks along the links
LEAST_CASES = 500 if EVERY_CASE else 100
LEAST_BORDERS = 1_500
A_LONG_TIME_S = 600.0
NOT_PROMISED = (
    "positive_data_acceptance",  # a grower who is not there is a problem, not a fault
    "missing_required_header",
    "ensure_resource_availability",
    "ignored_auth",  # tests/api/test_roles.py and nobody's walk below
    "allow_header_conformance",  # FastAPI names the methods of one function, not of the address
)
REFUSALS = ["400", "401", "403", "404", "405", "409", "412", "415", "422", "428", "429"]


@contextmanager
def a_week_in_hand(folder: Path, plan: Plan) -> Iterator[DatabaseShelf]:
    """A book with people, a posted week and a lot at the door."""
    with fresh_shelf(folder, august_and_people) as shelf:
        with shelf.writing() as book:
            week = week_entry(book, AUGUST.week)
            asked = asked_of(book, AUGUST.week, now=FRIDAY)
            origin = From(week.notes_version, week.posted, MANAGER.id)
            number = keep(book.plans, asked, plan, laid_out_at=FRIDAY, origin=origin)
            post(book, doing(MANAGER), number, week=AUGUST.week)
            door(book, doing(MANAGER), "R02", Grams(118_000))
        yield shelf


@dataclass
class Asker:
    """Shows her token with each request, a new one where she has revoked it; nobody has none."""

    shelf: DatabaseShelf
    role: Role | None
    numbers: Iterator[int] = field(default_factory=count)
    token: str = ""

    def fill_in(self, case: Any) -> None:
        if self.role is not None:
            case.headers["Authorization"] = f"Bearer {self._token(self.role, case)}"
        if case.meta is not None and case.meta.generation.mode is GenerationMode.POSITIVE:
            case.headers["If-Match"] = '"1"'
            case.headers["Idempotency-Key"] = f"key-{next(self.numbers)}"

    def _token(self, role: Role, case: Any) -> str:
        held, revoking = self.token, case.operation.path.startswith("/api/v1/tokens/")
        if not held:
            with self.shelf.writing() as book:
                held = token_of(book, PEOPLE[role])
        self.token = "" if revoking else held
        return held


@contextmanager
def filling_in(asker: Asker) -> Iterator[None]:
    def before_call(context: Any, case: Any, kwargs: Any) -> None:
        asker.fill_in(case)

    schemathesis.hook(before_call)
    try:
        yield
    finally:
        unregister(before_call)


@dataclass
class Heard:
    """What was answered: cases by phase, answers by status, and everything that was wrong."""

    cases: Counter[str] = field(default_factory=Counter)
    answers: Counter[int] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)

    def listen(self, event: events.EngineEvent) -> None:
        if isinstance(event, events.NonFatalError):
            self.wrong.append(f"{event.label}: {event.info.format()}")
        elif isinstance(event, events.FatalError):
            raise event.exception
        elif isinstance(event, events.ScenarioFinished):
            self._scenario(event)

    def _scenario(self, event: events.ScenarioFinished) -> None:
        recorder = event.recorder
        self.cases[event.phase.value] += len(recorder.interactions)
        for each in recorder.interactions.values():
            if each.response is not None:
                self.answers[each.response.status_code] += 1
        for case_id, checks in recorder.checks.items():
            for check in checks:
                if check.failure_info is not None:
                    request = recorder.interactions[case_id].request
                    failure = check.failure_info.failure
                    self.wrong.append(
                        f"{failure.title}: {request.method} {request.uri} {request.body!r}\n"
                        f"{failure.message}"
                    )


def ask_everything(shelf: DatabaseShelf, role: Role | None, *, borders: bool = False) -> Heard:
    """Examples, invented requests and walks; or every border of every field."""
    app = create_service(shelf, clock=lambda: FRIDAY)
    config = SchemathesisConfig(seed=1)
    schema = schemathesis.openapi.from_asgi("/api/openapi.json", app, config=config)
    given = schema.config
    given.generation.update(max_examples=FUZZED, deterministic=True, database="none")
    given.phases.stateful.generation.update(max_examples=WALKS, deterministic=True, database="none")
    given.phases.coverage.enabled = borders
    given.request_timeout = A_LONG_TIME_S  # how fast is no part of what is described
    given.suppress_health_check = [HealthCheck.too_slow]
    for phase in (given.phases.examples, given.phases.fuzzing, given.phases.stateful):
        phase.enabled = not borders
    for name in NOT_PROMISED:
        getattr(given.checks, name).enabled = False
    given.checks.negative_data_rejection.expected_statuses = REFUSALS
    heard = Heard()
    with filling_in(Asker(shelf, role)):
        for event in from_schema(schema).execute():
            heard.listen(event)
    return heard


def nothing_wrong(heard: Heard, role: Role | None) -> None:
    figures = f"{dict(heard.cases)}, {dict(sorted(heard.answers.items()))}"
    logging.getLogger(__name__).info("%s: %s", role or "nobody", figures)  # --log-cli-level=INFO
    assert not heard.wrong, "\n\n".join(heard.wrong)


@pytest.mark.skipif(not EVERY_CASE, reason="COMMONRACK_EVERY_CASE asks for it: three minutes")
@pytest.mark.parametrize("role", ["manager", "grower", None])
def test_every_border_of_every_field(tmp_path: Path, plan: Plan, role: Role | None):
    with a_week_in_hand(tmp_path, plan) as shelf:
        heard = ask_everything(shelf, role, borders=True)
    nothing_wrong(heard, role)
    assert heard.cases.total() >= LEAST_BORDERS


@pytest.mark.parametrize("role", ["manager", "grower", None])
def test_every_answer_is_one_that_is_described(tmp_path: Path, plan: Plan, role: Role | None):
    with a_week_in_hand(tmp_path, plan) as shelf:
        heard = ask_everything(shelf, role)
    nothing_wrong(heard, role)
    assert heard.cases.total() >= LEAST_CASES
    assert set(heard.cases) >= {"examples", "fuzzing", "stateful"}
    good = sum(many for status, many in heard.answers.items() if status < 300)
    assert good >= (1 if role is None else 40)


@pytest.fixture
def manager(tmp_path: Path) -> Iterator[Asking]:
    with fresh_shelf(tmp_path, august_and_people) as shelf:
        with shelf.writing() as book:
            token = token_of(book, MANAGER)
        yield Asking(create_service(shelf, clock=lambda: FRIDAY), token)


def test_a_gram_that_is_trimmed_to_nothing_gets_an_answer(manager: Asking):
    """Found by this test: no racks were divided by."""
    gram = {"grower_id": "G12", "card_id": "mushroom", "field_kg": 0.001}
    answer = manager.post("/api/v1/notes", {**gram, "arrives": "2026-08-18T08:00:00-04:00"})
    assert (answer.status_code, answer.json()["answer"]["racks"]) == (201, 1)


@pytest.mark.parametrize("kind", ["application/json", "multipart/form-data"])
def test_a_body_that_is_no_text_is_a_problem_like_any_other(manager: Asking, kind: str):
    """Found by this test: 400, which no route described."""
    path = "/api/v1/notes" + ("" if kind.endswith("json") else "/import")
    headers = {"Content-Type": f"{kind}; boundary=x"}
    answer = manager.ask("POST", path, content=b"\x8bN,q~\xc0\x93", headers=headers)
    assert (answer.status_code, answer.json()["type"]) == (422, "urn:commonrack:problem:bad-input")


@pytest.mark.parametrize(
    ("path", "body"),
    [
        ("lay-outs", {"week": "2026-W34", "seed": False}),
        ("lay-outs", {"week": "2026-W34", "seconds": "30"}),
        ("lay-outs", {"week": "2026-W34", "move_firm_turns": 0}),
        ("weeks/2026-W34/post", {"plan": 1, "move_firm_turns": "yes"}),
        ("weeks/2026-W34/post", {"plan": 1, "over_caps": 1}),
        ("notes", {"grower_id": "G01", "card_id": "tomato", "field_kg": True}),
    ],
)
def test_what_only_looks_like_a_number_is_none(manager: Asking, path: str, body: dict[str, Any]):
    """Found by this test: false was taken for the seed nought, nought for no."""
    arrives = {"arrives": "2026-08-18T08:00:00-04:00"} if path == "notes" else {}
    assert manager.post(f"/api/v1/{path}", {**body, **arrives}).status_code == 422
