"""Turns and shares: who stands in it, and the kilograms of what the board is asked about."""

from __future__ import annotations

import re
from dataclasses import replace

from scheduler.replay.options import worded
from scheduler.season.as_json import board_json
from scheduler.season.paper import Paper, paper
from tests.replay.tries import supposed
from tests.season.small import season
from web.pages.paper import print_page
from web.views.board_members import member_table
from web.views.board_paper import board_paper_page
from web.views.reading import Reading

SEASON = season(4)
WHO = SEASON.weeks[-1].asked.growers[0].id


def tried(saved: tuple[int, ...], *, named: bool = True) -> Paper:
    """A dryer more, all of whose kilograms are the first grower's."""
    found = supposed("dryer", saved, 90_000)
    trials = tuple(replace(each, gained=((WHO, each.saved_g),)) for each in found.trials)
    options = worded((replace(found, trials=trials),), "USD")
    return paper(SEASON, options=options, asked_of="So it is.", named=named)


def test_kilograms_more_stand_beside_those_refused():
    table = member_table(tried((5_000, 7_000)), Reading())
    place = table.columns.index("prepared kg more")
    assert table.columns[place - 1] == "kg refused"
    assert {row.name: row.cells[place] for row in table.rows} == {
        each.id: "6" if each.id == WHO else "0" for each in SEASON.weeks[-1].asked.growers
    }
    assert table.note.endswith("one more dryer.")
    assert all(len(row.cells) == len(table.columns) for row in table.rows)


def test_where_the_board_is_asked_nothing_no_kilograms_stand_there():
    made = tried((0, 7_000))
    table = member_table(made, Reading())
    assert "prepared kg more" not in table.columns
    assert not table.note
    assert (made.asked, board_json(made)["asked"]) == (None, "")


def test_without_names_nothing_says_for_whom():
    made = tried((5_000, 7_000), named=False)
    table = member_table(made, Reading())
    assert "prepared kg more" not in table.columns
    assert not table.note
    assert WHO not in " ".join(made.summary)
    assert "1 member would get 6 kg more" in made.summary[1]
    (option,) = board_json(made)["suppose"]
    assert option["kg_more"] == {}


def test_what_the_board_is_asked_closes_what_is_said_in_short():
    html = words_of(tried((5_000, 7_000)))
    said = html[html.index('class="said"') : html.index('class="what"')]
    last = re.findall(r"<li.*?</li>", said)[-1]
    assert "The board is asked to decide whether" in last
    assert "Decided so, by name and on the day" in said
    assert "The board is asked" not in words_of(tried((0, 7_000)))
    assert "Decided so" not in words_of(tried((0, 7_000)))


def words_of(made: Paper) -> str:
    page = board_paper_page(made, Reading(), styles="-")
    return bytes(print_page(page, reading=Reading()).body).decode()


def test_with_names_they_stand_in_the_figures_too():
    made = tried((5_000, 7_000))
    assert f"{WHO} would get 6 kg more" in made.summary[1]
    told = board_json(made)
    assert told["suppose"][0]["kg_more"] == {WHO: 6.0}
    assert told["asked"].startswith("The board is asked to decide whether to buy one more dryer")
