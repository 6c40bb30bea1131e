"""The permission table, role by act: written out a second time, so that a change is seen."""

from __future__ import annotations

import pytest

from api.records.people import Role
from api.services.errors import NoSuchThing, NotAllowed
from api.services.roles import ROLES, Act, must, reach, seen, whose
from tests.api.test_records import note_entry
from tests.book import GROWER, MANAGER, PEOPLE, doing

HANDS = {
    Act.READ_WEEK, Act.READ_DAY_SHEET, Act.READ_NIGHT_SHEET, Act.READ_NOTES, Act.NOTE,
    Act.CHANGE_NOTE, Act.READ_TURNS, Act.READ_LOTS, Act.READ_FEES, Act.DOOR, Act.PLACE, Act.RUN,
    Act.MEND, Act.DRY_CHECK, Act.PUT_RIGHT, Act.CORRECT, Act.PACK, Act.TICK, Act.READ_HOUSE,
    Act.READ_OUTAGES, Act.DOWN_UP, Act.NIGHT_LOG, Act.RING, Act.OWN_TOKENS, Act.OWN_FEEDS,
    Act.OWN_SETTINGS,
}  # fmt: skip
GROWERS_OWN = {
    Act.READ_DAY_SHEET, Act.READ_NOTES, Act.NOTE, Act.CHANGE_NOTE, Act.READ_TURNS, Act.READ_LOTS,
    Act.READ_FEES, Act.READ_PAPERS, Act.OWN_FEEDS, Act.READ_BILLS,
}  # fmt: skip
EXPECTED: dict[Role, dict[Act, str]] = {
    "manager": dict.fromkeys(Act, "all"),
    "hand": dict.fromkeys(HANDS, "all"),
    "grower": dict.fromkeys(GROWERS_OWN, "own") | {Act.OWN_TOKENS: "all", Act.OWN_SETTINGS: "all"},
    "board": {
        Act.READ_BOARD: "all",
        Act.SUPPOSE_SEASON: "all",
        Act.OWN_TOKENS: "all",
        Act.OWN_SETTINGS: "all",
    },
    "on_call": {
        Act.READ_NIGHT_SHEET: "tonight",
        Act.READ_OUTAGES: "all",
        Act.DOWN_UP: "all",
        Act.NIGHT_LOG: "all",
        Act.OWN_TOKENS: "all",
        Act.OWN_SETTINGS: "all",
        Act.OWN_FEEDS: "tonight",
    },
}


@pytest.mark.parametrize("act", Act)
@pytest.mark.parametrize("role", ROLES)
def test_each_role_may_what_it_may(role: Role, act: Act):
    expected = EXPECTED[role].get(act, "no")
    assert reach(role, act) == expected
    if expected == "no":
        with pytest.raises(NotAllowed, match=act):
            must(doing(PEOPLE[role]), act)
    else:
        assert must(doing(PEOPLE[role]), act) == expected
        assert whose(doing(PEOPLE[role]), act) == ("G01" if expected == "own" else None)


@pytest.mark.parametrize("act", Act)
@pytest.mark.parametrize("role", ROLES)
def test_a_token_for_another_act_may_nothing(role: Role, act: Act):
    other = next(each for each in Act if each != act)
    with pytest.raises(NotAllowed):
        must(doing(PEOPLE[role], acts=(other,)), act)


@pytest.mark.parametrize("act", sorted(GROWERS_OWN))
def test_what_is_not_hers_is_as_if_it_were_not_there(act: Act):
    others = note_entry()
    with pytest.raises(NoSuchThing) as not_hers:
        seen(doing(GROWER), act, others, "note R01")
    with pytest.raises(NoSuchThing) as not_there:
        seen(doing(GROWER), act, None, "note R01")
    assert str(not_hers.value) == str(not_there.value)
    assert seen(doing(MANAGER), act, others, "note R01") is others
