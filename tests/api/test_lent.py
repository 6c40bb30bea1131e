"""A lent application remembers nobody who had it before."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from api.app import create_service
from tests.asking import Asking
from tests.lent import lent
from tests.served import august_and_people, opened
from tests.shelves import FRIDAY, fresh_shelf


def test_the_next_one_has_its_own_book_and_clock(tmp_path: Path):
    later = FRIDAY + timedelta(hours=1)
    with fresh_shelf(tmp_path, august_and_people) as shelf:
        with lent(create_service, shelf, lambda: FRIDAY) as first:
            before = first.state.throttle
        with lent(create_service, shelf, lambda: later) as second:
            assert second is first
            assert second.state.shelf is shelf
            assert second.state.clock() == later
            assert second.state.throttle is not before


def test_two_at_once_are_two(tmp_path: Path):
    for name in ("one", "other"):
        (tmp_path / name).mkdir()
    with opened(tmp_path / "one") as one, opened(tmp_path / "other") as other:
        assert one.by["manager"].app is not other.by["manager"].app
        assert (one.by["manager"].app.state.shelf, other.by["manager"].app.state.shelf) == (
            one.shelf,
            other.shelf,
        )


def test_what_was_told_another_key_is_another(tmp_path: Path):
    with fresh_shelf(tmp_path) as shelf:
        with lent(create_service, shelf, lambda: FRIDAY, key="a") as first:
            pass
        with lent(create_service, shelf, lambda: FRIDAY, key="b") as second:
            assert second is not first


def test_one_that_was_changed_is_not_given_back(tmp_path: Path):
    with fresh_shelf(tmp_path) as shelf:
        with (
            pytest.raises(AssertionError, match="an application of your own"),
            lent(create_service, shelf, lambda: FRIDAY, key="changed") as app,
        ):
            app.add_api_route("/broken", lambda: None)
        with lent(create_service, shelf, lambda: FRIDAY, key="changed") as next_one:
            assert Asking(next_one).get("/broken").status_code == 404
