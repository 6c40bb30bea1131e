"""Every word of the pages can be read in every language that is offered."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any, get_args

import pytest
from jinja2 import nodes

from api.records.notes import LotState, NoteState
from api.records.plans import PlanState
from api.routes.problems import TABLE
from scheduler import measures
from scheduler.domain.rules import TITLES
from tests.strings import CATALOGUES, KEYWORDS, WEB, gathered, kept
from web.languages import LANGUAGES, best_of, catalogue
from web.pages.paper import TEMPLATES, press
from web.views.reading import Reading

NO_WORDS = {"Commonrack"}
SHOWN = ("alt", "aria-label", "label", "placeholder", "summary", "title")
HOLE = "\N{OBJECT REPLACEMENT CHARACTER}"


@pytest.mark.parametrize("file", CATALOGUES, ids=lambda each: each.stem)
def test_nothing_said_is_left_untranslated(file: Path):
    """To put it right: python -m tests.strings, then fill in what is empty."""
    found, said = kept(file), gathered()
    ids = [each.id for each in said if each.id]
    missing = [each for each in ids if not _whole(found.get(_one(each)))]
    assert missing == []
    assert [each.id for each in found if each.id and said.get(_one(each.id)) is None] == []
    assert [each.id for each in found if each.fuzzy and each.id] == []


def test_nothing_is_said_inside_an_f_string():
    """Before Python 3.12 an f-string is one token: what is said in it is not gathered."""
    inside = [
        f"{file.name}:{call.lineno} {ast.unparse(call)}"
        for file in sorted(WEB.glob("**/*.py"))
        for whole in ast.walk(ast.parse(file.read_text()))
        if isinstance(whole, ast.JoinedStr)
        for call in ast.walk(whole)
        if isinstance(call, ast.Call) and _says_a_text(call)
    ]
    assert inside == []


def _says_a_text(call: ast.Call) -> bool:
    name = call.func.attr if isinstance(call.func, ast.Attribute) else ast.unparse(call.func)
    return name in KEYWORDS and any(isinstance(each, ast.Constant) for each in call.args)


def _one(said: Any) -> str:
    """The text itself, of one that has a form for many too."""
    return said if isinstance(said, str) else said[0]


def _whole(message: Any) -> bool:
    """With all its forms, and the same holes in each."""
    if message is None:
        return False
    forms = message.string if isinstance(message.string, tuple) else (message.string,)
    holes = set(re.findall(r"%\(\w+\)s", _one(message.id)))
    return all(form and set(re.findall(r"%\(\w+\)s", form)) == holes for form in forms)


def test_each_language_offered_is_english_or_has_a_catalogue():
    others = {name for name in LANGUAGES if not name.startswith("en")}
    assert others == {each.stem for each in CATALOGUES}


def test_words_from_deeper_inside_are_among_what_is_said():
    deeper = {
        *get_args(NoteState), *get_args(LotState), *get_args(PlanState), *TITLES.values(),
        *(title for *_, title in TABLE), "papers short", "in order",
        measures.OCCUPIED, measures.RACK_USE, measures.FILL, measures.TABLE_HOURS,
    }  # fmt: skip
    said = gathered()
    assert {each for each in deeper if said.get(each) is None} == set()


class Bare(HTMLParser):
    """Collects the words that stand in a template as they are."""

    def __init__(self) -> None:
        super().__init__()
        self.words: list[str] = []
        self.inside = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.inside = tag
        self._found(*(value or "" for name, value in attrs if name in SHOWN))

    def handle_endtag(self, tag: str) -> None:
        self.inside = ""

    def handle_data(self, data: str) -> None:
        if self.inside not in ("code", "style", "script"):
            self._found(data)

    def _found(self, *texts: str) -> None:
        self.words += [each for text in texts for each in re.findall(r"[^\W\d_]{2,}", text)]


def bare_words(source: str) -> list[str]:
    found = Bare()
    source = re.sub("{% block kind %}.*?{% endblock %}", "", source)  # the name of a style
    found.feed("".join(_written(press(Reading()).parse(source))))
    return [each for each in found.words if each not in NO_WORDS]


def _written(tree: nodes.Template) -> Iterator[str]:
    """What stands in the template itself, a hole for every expression."""
    for output in tree.find_all(nodes.Output):
        for part in output.nodes:
            yield part.data if isinstance(part, nodes.TemplateData) else HOLE


@pytest.mark.parametrize("template", sorted(TEMPLATES.glob("*.html")), ids=lambda each: each.name)
def test_no_template_has_a_bare_word(template: Path):
    assert bare_words(template.read_text()) == []


def test_a_bare_word_would_be_found():
    assert bare_words('<p title="Hello {{ 1 }}">{{ _("kept") }} there</p>') == ["Hello", "there"]


@pytest.mark.parametrize(
    ("accepted", "language"),
    [
        ("", "en"),
        ("de,es;q=0.5", "es"),
        ("es-MX,en;q=0.8", "es"),
        ("en-US,en;q=0.9,es;q=0.8", "en-US"),
        ("fr", "en"),
        ("es;q=0, en", "en"),
        (";;q=x,,", "en"),
    ],
)
def test_the_browsers_wish_is_heard(accepted: str, language: str):
    assert best_of(accepted) == language


def test_spanish_is_not_english():
    assert catalogue("es").gettext("Waiting list") == "Lista de espera"
    assert catalogue("en").gettext("Waiting list") == "Waiting list"
