"""demo season: the invented season written into an empty book, so that its pages show one."""

from __future__ import annotations

import os
from contextlib import closing

from rich.console import Console
from rich.live import Live
from rich.text import Text

from api.services.people import COMMAND_LINE
from api.services.written_season import must_be_empty, write_season
from api.settings import Settings
from api.store import open_shelf
from web.board_book import invented

NEXT = (
    "The season is in {where}\nTo read it, somebody must be in the book:"
    ' commonrack people add lotte "Lotte Amberry"\nThen commonrack serve, and /board/season'
)


def write_invented_season(seed: int, console: Console) -> None:
    """NotNow, before anything is laid out, where the book holds a kitchen already."""
    url = Settings.of(os.environ).database_url
    with closing(open_shelf(url)) as shelf:
        with shelf.reading() as book:
            must_be_empty(book)
        season = invented(seed)
        with (
            Live(Text(""), console=Console(stderr=True), transient=True) as line,
            shelf.writing() as book,
        ):
            write_season(
                book,
                COMMAND_LINE,
                season,
                lambda done, of: line.update(Text(f"Writing down: {done} of {of} acts")),
            )
    console.print(NEXT.format(where=url.removeprefix("sqlite:///")), soft_wrap=True)
