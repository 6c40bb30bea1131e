"""What a climber does next."""

from scheduler.model.pace import CYCLE, PATIENCE, Pace

WINDOWS = 2
STEPS = PATIENCE // 2 + 1  # of a round: two that do not pay are enough


def done(pace: Pace, *gains: int) -> list[tuple[bool, bool]]:
    """Whether the solver had no part in each round, and whether it was a window; each begun with a
    worth of 1,000."""
    rounds = []
    for gain in gains:
        rounds.append((pace.alone, pace.window))
        pace.count(1000, 1000 + gain, STEPS)
    return rounds


ALONE, HELPED, WINDOW = (True, False), (False, False), (False, True)


def test_in_a_large_week_the_hand_goes_on_alone_while_it_pays():
    pays, does_not = 11, 10
    assert done(Pace(WINDOWS, large=True), *[pays] * 5) == [ALONE] * 5
    assert done(Pace(WINDOWS, large=True), does_not, pays, does_not, does_not, pays) == [
        *[ALONE] * 4,
        WINDOW,
    ]


def test_in_a_smaller_one_windows_come_after_the_first_round():
    assert done(Pace(WINDOWS), 50, 50, 0, 0) == [HELPED, WINDOW, WINDOW, HELPED]


def test_what_begins_with_nothing_pays():
    pace = Pace(WINDOWS, large=True)
    pace.count(0, 1, STEPS)
    pace.count(0, 0, STEPS)
    assert pace.rising
    pace.count(0, 0, STEPS)
    assert not pace.rising


def test_then_windows_come_before_each_round_by_hand():
    pace = Pace(WINDOWS)
    done(pace, 0)
    assert done(pace, 0, 50, 50, 0, 0, 0) == [WINDOW, WINDOW, HELPED] * 2


def test_a_cycle_goes_from_warm_to_cold_once_the_hand_has_risen():
    pace, warmths = Pace(windows=0, large=True), []
    for _ in range(2 + CYCLE + 1):
        warmths.append(round(pace.warmth, 2))
        pace.count(1000, 1000, STEPS)
    assert warmths == [0, 0, 1, 0.67, 0.33, 1]
