"""Gathers the headings, buttons, labels and states that the pages show, from their source."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterable, Iterator
from pathlib import Path

from tests.strings import WEB

SHOWN = "h1|h2|h3|h4|th|caption|summary|legend|button|label|dt"
ELEMENT = re.compile(rf"<({SHOWN})\b[^>]*>(.*?)</\1>", re.DOTALL)
BUTTON_LINK = re.compile(r'<(a) class="button[^>]*>(.*?)</a>', re.DOTALL)
BLOCK_TITLE = re.compile(r"{% (block) title %}(.*?){% endblock %}", re.DOTALL)
SAID = re.compile(r'(?:_|ngettext)\(\s*"((?:[^"\\]|\\.)*)"(?:\s*,\s*"((?:[^"\\]|\\.)*)")?')
NAMED = ("title", "button", "label", "state")  # arguments, variables and _functions of that name
PLACES = {  # which argument of which value is shown so
    "FormPage": 0, "SurePage": 0, "NothingPage": 0, "Entry": 0, "Form": 1, "Undo": 1, "Field": 1,
}  # fmt: skip
SAY = ("say", "say_many", "N_")


def in_template(source: str) -> Iterator[str]:
    """What stands translated in headings, buttons and labels of a template."""
    for pattern in (ELEMENT, BUTTON_LINK, BLOCK_TITLE):
        for _, inner in pattern.findall(source):
            for found in SAID.findall(inner):
                yield from (each for each in found if each)


def in_module(source: str) -> Iterator[str]:
    """What Python says in titles, buttons, labels of fields and states."""
    for node in ast.walk(ast.parse(source)):
        yield from _said(_shown(node))


def _shown(node: ast.AST) -> Iterator[ast.AST]:
    if isinstance(node, ast.Call):
        yield from (each.value for each in node.keywords if each.arg in NAMED)
        place = PLACES.get(_name(node.func), len(node.args))
        yield from node.args[place : place + 1]
    elif isinstance(node, ast.Assign):
        targets = [each.id for each in node.targets if isinstance(each, ast.Name)]
        if any(each in NAMED or each == "STATES" for each in targets):
            yield node.value
    elif isinstance(node, ast.FunctionDef) and node.name.strip("_") in NAMED:
        yield from node.body


def _said(found: Iterable[ast.AST]) -> Iterator[str]:
    for each in found:
        for call in ast.walk(each):
            if isinstance(call, ast.Call) and _name(call.func) in SAY:
                for argument in call.args[:2]:
                    if isinstance(argument, ast.Constant) and isinstance(argument.value, str):
                        yield argument.value


def _name(func: ast.expr) -> str:
    return func.id if isinstance(func, ast.Name) else getattr(func, "attr", "")


def all_shown() -> dict[str, str]:
    """Each of them, with the file that shows it."""
    found: dict[str, str] = {}
    for file in sorted((WEB / "templates").glob("*.html")):
        found |= dict.fromkeys(in_template(file.read_text()), file.name)
    for file in sorted((WEB / "pages").glob("*.py")) + sorted((WEB / "views").glob("*.py")):
        found |= dict.fromkeys(in_module(file.read_text()), file.name)
    return found


def words_of(text: str) -> list[str]:
    """Single words, small, without what is filled in and without the 's of whose it is."""
    bare = re.sub(r"%\(\w+\)s", " ", text).replace("\\", "")
    found = (each.strip("'-").lower() for each in re.findall(r"[^\W\d_][\w'-]*", bare))
    return [each.removesuffix("'s") for each in found]


def listed(file: Path) -> Iterator[tuple[str, str]]:
    """Words and reasons of the list: "word, word: reason"; a line that begins with # is a head."""
    for line in file.read_text().splitlines():
        if line.strip() and not line.startswith("#"):
            names, _, reason = line.partition(":")
            yield names, reason.strip()
