"""Which runs may take a lot."""

from dataclasses import replace

from scheduler.model.build import build_model
from scheduler.prepare import problem
from scheduler.scenario import load
from scheduler.whiteboard.board import Board
from scheduler.whiteboard.calendars import Calendars


def test_a_lot_whose_first_start_lies_after_its_last_has_no_charge() -> None:
    """So it is where wishes leave only a start that comes before the lot does, on the same day."""
    week = problem(load("spring_day"))
    lot, opens = week.lots[0], week.days[0].open
    for earliest, latest, may in ((opens + 60, opens + 60, True), (opens + 60, opens + 59, False)):
        narrow = replace(lot, earliest=earliest, latest=latest)
        sizes = {lot.index: sorted(lot.sizes)}
        build = build_model(week, Board(week, Calendars(week)), [narrow], sizes)
        assert bool(build.charges) == may
