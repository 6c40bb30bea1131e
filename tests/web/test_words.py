"""Headings, buttons and states speak the kitchen's language: each word stands in words.txt."""

from __future__ import annotations

import re
from pathlib import Path
from typing import get_args

import pytest

from api.records.notes import LotState, NoteState
from api.records.plans import PlanState
from scheduler.domain.turn import TurnState
from tests.said import all_shown, in_module, in_template, listed, words_of
from tests.strings import gathered

LIST = Path(__file__).with_name("words.txt")
OURS = frozenset(  # with and without the s of many
    form
    for names, _ in listed(LIST)
    for word in words_of(names)
    for form in (word, word.removesuffix("s"))
)
HABITS = re.compile(  # mere habits of software, which no page of a kitchen says
    r"\b(bookings?|reservations?|resources?|events?|appointments?|assets?|tickets?|tasks?|jobs?|"
    r"workflows?|pipelines?|kanban|dashboards?|widgets?|tenants?|workspaces?|backlogs?|queues?|"
    r"utili[sz]ation|admin|wizards?|tiles?|timelines?|gantt|onboarding|analytics|insights?|"
    r"optimi[sz]e\w*|users?|submit|delete|cancel|error)\b",
    re.IGNORECASE,
)


def strange(shown: dict[str, str]) -> dict[str, list[str]]:
    """Words that are not in the list, by the text that says them and its file."""
    found = {
        f"{file}: {text}": [
            each
            for each in words_of(text)
            if each not in OURS and each.removesuffix("s") not in OURS
        ]
        for text, file in shown.items()
    }
    return {where: words for where, words in found.items() if words}


def test_every_word_shown_is_one_of_ours():
    """To put it right: the kitchen's own word, or a line in words.txt with its reason."""
    assert strange(all_shown()) == {}


def test_every_state_of_the_book_is_one_of_ours():
    states = [
        each for kind in (NoteState, LotState, PlanState, TurnState) for each in get_args(kind)
    ]
    assert len(states) > 20
    assert strange(dict.fromkeys(states, "records")) == {}


def test_each_word_is_added_with_a_reason():
    assert [names for names, reason in listed(LIST) if len(reason.split()) < 2] == []


def _text(message: object) -> str:
    said = getattr(message, "id", "")
    return said if isinstance(said, str) else " ".join(said)


def test_no_page_says_what_is_only_a_habit_of_software():
    said = [re.sub(r"%\(\w+\)s", "", _text(each)) for each in gathered()]
    assert len(said) > 100
    assert [text for text in said if HABITS.search(text)] == []
    assert HABITS.search("Submit")


def test_a_strange_word_would_be_found():
    template = (
        '<h1>{{ _("Dashboard") }}</h1><p>{{ _("Widgets") }}</p><a class="button quiet" href="/">'
        '{{ _("Schedule a %(thing)s", thing=1) }}</a>{% block title %}{{ _("Tile") }}{% endblock %}'
    )
    assert list(in_template(template)) == ["Dashboard", "Schedule a %(thing)s", "Tile"]
    module = (
        "def _state(x):\n    return say('allocated')\n"
        "title = say('Resources') if x else say('Racks')\n"
        "Form('/x', say('Submit'), button_text=say('not shown'))\n"
        "FormPage(title=reading.say('Wizard'), detail=reading.say('no heading'))\n"
    )
    found = set(in_module(module))
    assert found == {"allocated", "Resources", "Racks", "Submit", "Wizard"}
    assert set(strange(dict.fromkeys(found, "x"))) == {
        f"x: {each}" for each in ("allocated", "Resources", "Submit", "Wizard")
    }


@pytest.mark.parametrize(
    "text",
    ["Board paper", "Down", "It was a mistake", "Tell us what's coming", "What stopped?",
     "pencilled", "drying", "Let it go?", "My settings", "At what time?", "Undo", "cool hold to"],
)  # fmt: skip
def test_what_is_shown_is_gathered(text: str):
    assert text in all_shown()
