"""Words from deeper inside, which are put into the reader's language where they are shown."""

from __future__ import annotations

from web.views.reading import N_

STATES = (
    N_("noted"), N_("papers short"), N_("in order"), N_("pencilled"), N_("firm"), N_("at the door"),
    N_("let go"), N_("stood down"), N_("no-show"), N_("carried over"),
    N_("raw"), N_("on racks"), N_("off racks"), N_("held"), N_("back to dryer"),
    N_("passed"), N_("packed"), N_("discarded"),
    N_("rough"), N_("posted"), N_("in hand"), N_("closed"),
)  # fmt: skip  # of notes, lots and plans
MEASURES = (
    N_("Dryers occupied"), N_("Rack use"), N_("Fill when running"), N_("Table hours"),
    N_("hours"), N_("rack-hours"), N_("pair-hours"),
    N_("drying hours over calendar hours"),
    N_("loaded rack-hours over racks x calendar hours; cool hold is not counted"),
    N_("loaded rack-hours over racks x hours of the dryers while they dry"),
    N_("pair-hours of cutting over tables x staffed hours"),
    N_("Dryers down"), N_("Racks down"),
    N_("hours in which a dryer stood still over calendar hours of all dryers"),
    N_("racks x hours in which their dryer stood still over racks x calendar hours"),
)  # fmt: skip
SEASON = (
    N_("Hands at work"), N_("Steamer use"), N_("Placed"), N_("Refused"), N_("Waited"),
    N_("Brought in"), N_("Prepared"), N_("Dried"), N_("Water removed"), N_("Energy"),
    N_("Bags packed"), N_("Drying hours"), N_("Came in time"), N_("Runs on record"),
    N_("Dried again"), N_("Passed at once"), N_("Discarded"), N_("By night"),
    N_("Dryers occupied, whole year"), N_("Rack use, whole year"), N_("dryer-hours"),
    N_("table-hours"), N_("hand-hours"), N_("steamer-hours"), N_("kg"), N_("lots"), N_("runs"),
    N_("kWh"),
)  # fmt: skip
RULES = (
    N_("Grid"), N_("Hands-on work in staffed hours"), N_("Night end"), N_("Not before the door"),
    N_("Racks"), N_("One run, one climate"), N_("Loading together"),
    N_("Turn-round and wash-down"), N_("The stream"), N_("Steamers"), N_("Stations"), N_("Hands"),
    N_("Power"), N_("Splitting"), N_("Papers"), N_("Caps"), N_("After the dryer"),
    N_("Firm is firm"), N_("Clock of exposure"), N_("Emergency"),
)  # fmt: skip
PROBLEMS = (
    N_("There is no such plan"), N_("The request cannot be used"),
    N_("Nobody knows who is asking"), N_("You may not do that"), N_("There is no such thing"),
    N_("That cannot be done now"), N_("What the plan answers has changed meanwhile"),
    N_("Somebody changed it meanwhile"), N_("Say which version you saw"),
    N_("That key stood on another request"), N_("Too many tries"), N_("Commonrack went wrong"),
    N_("Not Found"), N_("Method Not Allowed"),
)  # fmt: skip
