"""Forms, tried on My settings: values kept after a fault, done once, told, undone."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from api.services.roles import ROLES
from tests.served import Kitchen, opened
from tests.site import HOME, KEY, entered, send
from web.app import create_site

PATH = "/my-settings"
SPANISH = {"language": "es", "weight_unit": "lb", "temperature_unit": ""}


@pytest.fixture
def kitchen(tmp_path: Path) -> Iterator[Kitchen]:
    with opened(tmp_path, create_site, key=KEY) as found:
        yield found


def chosen(page: str) -> list[str]:
    return re.findall(r'value="([^"]*)" checked', page)


@pytest.mark.parametrize("role", ROLES)
def test_what_is_kept_is_told_once_and_read_by(kitchen: Kitchen, role: str):
    asker = entered(kitchen, role)  # type: ignore[arg-type]
    answer = send(asker, PATH, SPANISH)
    assert (answer.status_code, answer.headers["location"]) == (303, PATH)
    page = asker.get(PATH).text
    assert "Guardado." in page
    assert '<html lang="es">' in page
    assert chosen(page) == ["es", "lb", ""]
    assert "Guardado." not in asker.get(PATH).text


def test_nobody_changes_how_others_read(kitchen: Kitchen):
    send(entered(kitchen, "manager"), PATH, SPANISH)
    assert chosen(entered(kitchen, "hand").get(PATH).text) == ["", "", ""]


def test_a_fault_is_told_on_top_and_at_its_field_with_what_was_said(kitchen: Kitchen):
    asker = entered(kitchen, "hand")
    answer = send(asker, PATH, SPANISH | {"weight_unit": "stone"})
    assert answer.status_code == 422
    summary = re.search(r'<div class="faults" role="alert" tabindex="-1" autofocus>.*?</div>',
                        answer.text, re.DOTALL)  # fmt: skip
    assert summary
    assert '<a href="#weight_unit">Weights &ndash; must be chosen</a>' in summary[0]
    assert 'id="weight_unit-fault">must be chosen<' in answer.text
    assert chosen(answer.text) == ["es", ""]
    assert chosen(asker.get(PATH).text) == ["", "", ""]


def test_a_form_sent_twice_is_done_once(kitchen: Kitchen):
    asker = entered(kitchen, "hand")
    key = re.search(r'name="once" value="([^"]+)"', asker.get(PATH).text)
    assert key
    first = asker.ask("POST", PATH, data=SPANISH | {"once": key[1]}, headers=HOME)
    again = asker.ask("POST", PATH, data=SPANISH | {"once": key[1]}, headers=HOME)
    assert first.status_code == again.status_code == 303
    with kitchen.shelf.reading() as book:
        assert len(book.deeds.where(act="own settings")) == 1
    other = asker.ask("POST", PATH, data=SPANISH | {"language": "en", "once": key[1]}, headers=HOME)
    assert other.status_code == 303
    assert chosen(asker.get(PATH).text)[0] == "en"


def test_what_was_done_can_be_undone(kitchen: Kitchen):
    asker = entered(kitchen, "hand")
    send(asker, PATH, SPANISH)
    page = asker.get(PATH).text
    notice = re.search(r'<div class="notice".*?</div>', page, re.DOTALL)
    assert notice
    hidden = re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', notice[0])
    asker.ask("POST", PATH, data=dict(hidden), headers=HOME)
    assert chosen(asker.get(PATH).text) == ["", "", ""]


@pytest.mark.parametrize("headers", [{}, {"Origin": "http://elsewhere"}, {"Origin": "null"}])
def test_a_form_from_elsewhere_does_nothing(kitchen: Kitchen, headers: dict[str, str]):
    asker = entered(kitchen, "hand")
    assert asker.ask("POST", PATH, data=SPANISH, headers=headers).status_code == 403
    assert chosen(asker.get(PATH).text) == ["", "", ""]


def test_nobody_without_a_log_in_keeps_settings(kitchen: Kitchen):
    answer = kitchen.nobody().ask("POST", PATH, data=SPANISH, headers=HOME)
    assert (answer.status_code, 'action="/log-in"' in answer.text) == (401, True)
