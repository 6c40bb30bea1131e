"""Which of the kitchen's rules are in force: the full book, the easier one, or the full book
less a rule."""

from __future__ import annotations

from dataclasses import dataclass, replace

TITLES: dict[int, str] = {
    1: "Grid",
    2: "Hands-on work in staffed hours",
    3: "Night end",
    4: "Not before the door",
    5: "Racks",
    6: "One run, one climate",
    7: "Loading together",
    8: "Turn-round and wash-down",
    9: "The stream",
    10: "Steamers",
    11: "Stations",
    12: "Hands",
    13: "Power",
    14: "Splitting",
    15: "Papers",
    16: "Caps",
    17: "After the dryer",
    18: "Firm is firm",
    19: "Clock of exposure",
    20: "Emergency",
}

PLAINLY: dict[int, str] = {  # what a rule that keeps a lot out comes to, for who knows no numbers
    1: "nothing begins between the kitchen's five minutes",
    2: "nobody is in the house to do the work",
    3: "a night run would end hours before anybody is there to unload it",
    4: "it cannot be on its racks between its coming and its latest start",
    5: "no dryer has enough racks free for long enough",
    6: "what runs then wants another temperature, or may not be beside it",
    7: "its racks would wait too long for the run to start",
    8: "the dryer must be turned round or washed down first",
    9: "from cutting to the dryer it would take too long",
    10: "no steamer is free",
    11: "no table, wash line, bench or cold-store crate is free",
    12: "no hands are free",
    13: "the power supply does not carry one dryer more",
    14: "it does not fit in one piece, nor in the parts allowed",
    15: "a paper is missing or out of date",
    16: "it is beyond what the members voted for one of them",
    17: "no time, hand or bench is left to check, rest and pack it",
    18: "it would move what was promised to others",
    19: "it would stand warm for too long",
    20: "a dryer had stopped",
}


@dataclass(frozen=True, slots=True)
class RuleBook:
    """Switches that can be turned off one at a time to learn what a rule costs.

    easier: the rules of the demo scenario's reference results. A lot may start once all of it
    could be
    prepared (arrival + field weight / pair rate, + half an hour if steamed), it is placed whole or
    in two
    or three equal parts (all of it or none), members of a run share exactly one set point,
    unloading takes
    no time of its own, and everything before and after the dryer is left out.
    """

    name: str = "full"
    easier: bool = False
    hands: bool = True  # rule 12
    tables: bool = True  # rule 11: tables, slicer and wash line
    steamers: bool = True  # rules 10 and 11: steamers and chill tub have a number
    waits: bool = True  # rules 7 and 9
    power: bool = True  # rule 13
    wash_downs: bool = True  # rule 8: wash-down, not the turn-round
    cold_store: bool = True  # rule 11
    packing: bool = True  # rule 17


FULL = RuleBook()
SIMPLE = RuleBook(
    name="simple",
    easier=True,
    hands=False,
    tables=False,
    steamers=False,
    waits=False,
    power=False,
    wash_downs=False,
    cold_store=False,
    packing=False,
)
SWITCHES = ("hands", "tables", "steamers", "waits", "power", "wash_downs", "cold_store", "packing")


def less(switch: str) -> RuleBook:
    """The full book without one rule; ValueError for a name that is no switch."""
    if switch not in SWITCHES:
        raise ValueError(f"no such rule to leave out: {switch}; one of {', '.join(SWITCHES)}")
    return replace(FULL, name=f"without {switch.replace('_', ' ')}", **{switch: False})
