"""Small weeks taken at once: which they are, and a tighter bound of them.

The relaxed week with whole runs and whole racks, where a lot's racks on one kind of dryer and day
are so many charges of it: each no smaller than its smallest and no larger than the dryer, and no
more of them in the week than a lot may be split into (rule 5). Every plan is a point of it. In a
larger week the branch and bound comes nowhere in its time.
"""

from __future__ import annotations

import math
from collections import defaultdict
from copy import deepcopy

from scheduler.model.cut_down import choices
from scheduler.model.master import Master, most_there_is
from scheduler.problem import Problem

MOST = 6000  # choices; single days of 8 lots have 3,000 to 5,000, weeks of 25 lots 9,000 and more
TOLERANCE = 1e-6  # HiGHS, mip_feasibility_tolerance; the proof is its own branch and bound's
PATIENCE_S = 10.0  # the days that it proved took 3 to 7 (from trials)


def taken_at_once(problem: Problem) -> bool:
    """Whether the solvers can take all of a week at once. Easier rules have few choices even of a
    large one."""
    if problem.rules.easier:
        return False
    return sum(choices(lot, lot.sizes) for lot in problem.lots) <= MOST


def whole_bound(master: Master, seconds: float = PATIENCE_S) -> int:
    """Prepared grams that no plan exceeds: all there is where nothing less was found in time, or
    where something is firm or easier rules know no charges."""
    problem = master.problem
    most = most_there_is(problem)
    if problem.firm.lots or problem.rules.easier:
        return most
    programme = deepcopy(master.programme)
    whole = [start.column for start in master.starts]
    whole += [share.column for share in master.shares]
    charges: dict[int, dict[int, float]] = defaultdict(dict)
    together: dict[tuple[int, int, int], list[int]] = defaultdict(list)
    for share in master.shares:
        together[share.lot.index, share.start.kind, share.start.day].append(share.column)
    for (index, kind, _), racks in together.items():
        lot = problem.lots[index]
        count = programme.column(0, lot.most_charges)
        largest = min(lot.racks, master.kinds[kind][0].racks)
        programme.at_most(0, dict.fromkeys(racks, 1.0) | {count: -largest})
        programme.at_most(0, dict.fromkeys(racks, -1.0) | {count: min(lot.sizes)})
        charges[index][count] = 1.0
        whole.append(count)
    for index, row in charges.items():
        programme.at_most(problem.lots[index].most_charges, row)
    found = programme.bound_of_whole(whole, seconds)
    return most if found is None else min(most, math.floor(found * (1 + TOLERANCE)))
