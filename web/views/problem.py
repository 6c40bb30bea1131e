"""What a page tells of a fault: the problem in plain words, and what to do about it."""

from __future__ import annotations

from api.schemas.problem import Problem
from web.languages import ENGLISH
from web.views.links import Link
from web.views.plain import ProblemPage
from web.views.reading import N_, Reading

LOOK_AGAIN = N_("Go back, look at it as it is now, and do it again if you still want to.")
ADVICE = {  # by the last word of the problem's type
    "bad-input": N_("Go back and put it right."),
    "not-allowed": N_("If it should be yours to do, ask the manager."),
    "no-such-thing": N_("It may have been let go, or the address is not quite right."),
    "no-such-plan": N_("It is here once the week has been laid out and posted."),
    "not-now": N_("Look at it as it is now; if that is not right, tell the kitchen."),
    "changed-meanwhile": LOOK_AGAIN,
    "old-version": LOOK_AGAIN,
    "too-often": N_("Wait a minute, then try again."),
    "our-mistake": N_("Nothing was changed. Try again; if it comes again, tell the manager."),
}
NOWHERE = N_("There is no page at this address. Begin again from the first one.")
WENT_WRONG = ADVICE["our-mistake"]
SERVER = 500


def problem_page(problem: Problem, reading: Reading, *, back: str) -> ProblemPage:
    """back: the page one came from, "" where that is not known."""
    kind = problem.type.rpartition(":")[2]
    other = WENT_WRONG if problem.status >= SERVER else NOWHERE
    known = kind in ADVICE
    return ProblemPage(
        title=reading.say(problem.title),
        detail=problem.detail if known else "",
        detail_language=ENGLISH,
        advice=reading.say(ADVICE.get(kind, other)),
        changes=tuple(problem.changes),
        back=Link(reading.say("Go back"), back)
        if back
        else Link(reading.say("To the first page"), "/"),
    )
