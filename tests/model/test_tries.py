"""How often and how hard something is tried again."""

from scheduler.model.solve import Effort
from scheduler.model.tries import MOST_WORK, Tries
from scheduler.model.windows import KINDS


def test_what_never_brings_anything_is_tried_harder_up_to_a_limit_and_less_often() -> None:
    """However long a search goes on: a small week's windows are tried thousands of times."""
    once = Effort(seconds=60, work=1.0)
    for kind in KINDS:
        tries, work, weights = Tries(kind.ready, kind.work), [], []
        for _ in range(2000):
            work.append(tries.effort(once).work or 0)
            weights.append(tries.weight)
            tries.count(won=False)
        assert work == sorted(work)
        assert (work[0], work[-1]) == (kind.work, MOST_WORK)
        assert weights == sorted(weights, reverse=True)
        assert weights[-1] > 0


def test_what_has_won_is_taken_more_readily_than_what_has_not() -> None:
    won, lost = Tries(), Tries()
    won.count(won=True)
    lost.count(won=False)
    assert won.weight > lost.weight
    assert (won.in_vain, lost.in_vain) == (0, 1)
