"""A board that is gone on from is as good as one put up afresh."""

from dataclasses import replace
from random import Random

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scheduler.domain.asked import Asked
from scheduler.domain.rules import FULL, SIMPLE, SWITCHES, RuleBook, less
from scheduler.prepare import problem
from scheduler.problem import Draft
from scheduler.scenario import load
from scheduler.weeks import week as invented
from scheduler.whiteboard import whiteboard
from scheduler.whiteboard.board import Board
from scheduler.whiteboard.calendars import Calendars
from scheduler.whiteboard.ruin import Ruin
from tests.strategies import kitchens

BOOKS = st.sampled_from([FULL, FULL, FULL, SIMPLE, *map(less, SWITCHES)])
SLOW = settings(deadline=None, suppress_health_check=list(HealthCheck))


def afresh(board: Board, draft: Draft) -> Board:
    new = Board(board.problem, board.calendars)
    for run in draft.runs:
        new.add_run(run)
    return new


def told(board: Board) -> list[object]:
    """All that a board tells of what is on it and what is free."""
    problem = board.problem
    counted = [board.washing, board.benches, *board.tables, *board.steamers, board.pairs]
    profiles = [board.hands, board.watts, board.tub, board.crates]
    groups = range(len(problem.groups))
    dryings = {lot.drying for lot in problem.lots}
    return [
        board.draft(),
        counted,
        [profile.levels for profile in profiles],
        [board.hands_free(wanted) for wanted in range(4)],
        [board.powered(dryer, drying) for dryer in problem.dryers for drying in sorted(dryings)],
        [board.gaps(dryer, group) for dryer in problem.dryers for group in groups],
    ]


@settings(SLOW, max_examples=60)
@given(kitchens(), BOOKS, st.integers(0, 99))
def test_a_board_turned_into_another_tells_the_same(asked: Asked, rules: RuleBook, seed: int):
    week = problem(asked, rules)
    ruins = [Ruin(week, Random(each)) for each in (seed, seed + 1)]
    drafts = [whiteboard(week)] * 2
    board = Board(week, Calendars(week))
    for step in range(8):
        mine = step % 2
        drafts[mine] = ruins[mine].step(drafts[mine])
        board.turn_into(drafts[mine].runs)
        assert told(board) == told(afresh(board, drafts[mine]))
        assert not board.overfull


def test_so_in_a_large_week():
    week = problem(invented(1, lots=60, dryers=8))
    ruin = Ruin(week, Random(1))
    first = second = whiteboard(week)
    board = Board(week, Calendars(week))
    for _ in range(6):
        for draft in (first, second := ruin.step(second)):
            board.turn_into(draft.runs)
            assert told(board) == told(afresh(board, draft))


def test_what_lay_where_nothing_was_free_leaves_nothing_free_behind():
    week = problem(load("spring_day"))
    draft = whiteboard(week)
    always = (1 << week.horizon) - 1
    away = tuple(always for _ in week.away)
    down = dict.fromkeys((*week.wash_line_ids, *week.bench_ids), always)
    for caught_up in (replace(week, down=down), replace(week, away=away)):
        ruin = Ruin(caught_up, Random(1))
        assert ruin.rebuilt(draft, set()).overfull
        empty = ruin.rebuilt(Draft(), set())
        assert told(empty) == told(afresh(empty, Draft()))
        assert not empty.overfull


def test_what_a_copy_takes_on_is_not_told_by_the_first():
    week = problem(invented(1))
    draft = whiteboard(week)
    board = Board(week, Calendars(week))
    before = told(board)
    twin = board.copy()
    twin.turn_into(draft.runs)
    assert told(twin) == told(afresh(twin, draft))
    assert told(board) == before
