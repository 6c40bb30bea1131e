"""Twins of rule 18 for the manager's wishes: kept, or named where only what is firm prevents it."""

from __future__ import annotations

from dataclasses import replace

from scheduler.domain.asked import Asked
from scheduler.domain.plan import Plan, Unkept
from scheduler.domain.promised import Promised
from scheduler.domain.wish import Wish
from tests.builders import span
from tests.verify.good_week import good_plan
from tests.verify.twin import Twin


def wished(asked: Asked, *wishes: Wish, firm: tuple[str, ...] = ()) -> Asked:
    promised = Promised(good_plan(), frozenset(firm)) if firm else asked.promised
    return replace(asked, wishes=wishes, promised=promised)


def named(plan: Plan, *numbers: int) -> Plan:
    return replace(plan, unkept=tuple(Unkept(each, 18, "It is firm.") for each in numbers))


TUESDAY = span("Tue 00:00", "Wed 00:00")
MONDAY = span("Mon 00:00", "Tue 00:00")
ON_TUESDAY = Wish(1, "pin", "N1", span=TUESDAY)
ELSEWHERE = Wish(1, "pin", "N1", "D2")
TWINS = (
    Twin(
        "a lot is pinned to another day",
        18,
        lambda a, p: (wished(a, ON_TUESDAY), p),
        says="N1 starts Mon 17 Aug 08:10 on D1, and is pinned elsewhere",
    ),
    Twin("a lot is pinned to another dryer", 18, lambda a, p: (wished(a, ELSEWHERE), p)),
    Twin(
        "a charge is pinned to a run five minutes later",
        18,
        lambda a, p: (wished(a, Wish(1, "pin", "N1", "D1", span("Mon 08:15", "08:20"))), p),
    ),
    Twin(
        "one charge of two is where it is pinned",
        18,
        lambda a, p: (wished(a, Wish(1, "pin", "N2", "D2", MONDAY)), p),
        says="N2 B",
    ),
    Twin(
        "a day is forbidden",
        18,
        lambda a, p: (wished(a, Wish(1, "forbid", "N1", span=MONDAY)), p),
        says="where it is forbidden",
    ),
    Twin(
        "a dryer is to be left free while its run is washed away",
        18,
        lambda a, p: (wished(a, Wish(1, "leave free", "", "D1", span("Tue 07:30", "07:35"))), p),
        says="is to be left free",
    ),
    Twin(
        "what is only pencilled stands against a wish, named or not",
        18,
        lambda a, p: (wished(a, ON_TUESDAY, firm=("N3",)), named(p, 1)),
    ),
    Twin(
        "what is firm stands against a wish and is not named",
        18,
        lambda a, p: (wished(a, ON_TUESDAY, firm=("N1",)), p),
    ),
    Twin(
        "a pinned lot waits and is not named",
        18,
        lambda a, p: (wished(a, Wish(1, "pin", "N7", "D2")), p),
        says="N7 is pinned and waits",
    ),
)
ALLOWED = (
    Twin(
        "a charge is pinned to its run",
        18,
        lambda a, p: (wished(a, Wish(1, "pin", "N1", "D1", span("Mon 08:10", "08:15"))), p),
    ),
    Twin(
        "the charges of a lot are at one of its pins each",
        18,
        lambda a, p: (
            wished(a, Wish(1, "pin", "N2", "D2", MONDAY), Wish(2, "pin", "N2", "D1", TUESDAY)),
            p,
        ),
    ),
    Twin(
        "another day is forbidden",
        18,
        lambda a, p: (wished(a, Wish(1, "forbid", "N1", span=TUESDAY)), p),
    ),
    Twin(
        "a dryer is left free from the end of the wash-down on",
        18,
        lambda a, p: (wished(a, Wish(1, "leave free", "", "D1", span("Tue 08:00", "08:05"))), p),
    ),
    Twin(
        "what is firm stands against a wish and is named",
        18,
        lambda a, p: (wished(a, ON_TUESDAY, firm=("N1",)), named(p, 1)),
    ),
)
