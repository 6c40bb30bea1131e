"""The cautions that belong on a sheet, each where its work is done; never legal advice."""

from __future__ import annotations

from collections.abc import Iterable

from scheduler.day_sheet.sheet import Caution

COMMON = "common practice"

ALWAYS = (
    Caution(
        "this plan",
        "It does not make food safe. Follow your process authority's letter and the local food "
        "code; a licensed person decides release.",
        COMMON,
    ),
    Caution(
        "estimates",
        "Times and yields should come from this kitchen's own records; first runs are guesses.",
        COMMON,
    ),
)
AT_WORK: dict[str, Caution] = {
    "steam": Caution(
        "steamers",
        "Steam burns: lid away from the face, gloves, two people. Under-16s do not cook.",
        "OSHA, Hospitals: Kitchen Equipment; OSHA, Young Worker Safety in Restaurants: Cooking",
    ),
    "cut": Caution(
        "cut and steamed food",
        "Drying does not kill all germs: the steam step and clean hands matter. Time between 5 "
        "and 57 °C is counted; at four hours ask the manager.",
        "Foods 12(13):2561, 2023; Minnesota Rules 4626.0408 (house limit, to be confirmed by the "
        "process authority)",
    ),
    "unload": Caution(
        "dryers",
        "Isolate and lock off before opening a dryer for repair; wait for the fans. Repairs: a "
        "licensed electrician.",
        "OSHA, Youth in Restaurants: Electrical",
    ),
    "dry check": Caution(
        "dry check",
        "Let samples cool closed before reading: warm ones read falsely. The worst reading "
        "decides. Do not pack above the limit.",
        COMMON,
    ),
    "pack": Caution(
        "packing",
        "Allergen and label check before the first bag. Never vacuum-pack or oil a part-dried "
        "vegetable.",
        "J Food Prot 76:1933, 2013 (labels); from memory (vacuum, oil: the authority words it)",
    ),
    "wash-down": Caution(
        "wash-down",
        "Sanitiser: right strength, right contact time, never mix chemicals.",
        "Southern Nevada Health District, What are the approved sanitizer solutions?",
    ),
}
NIGHT = Caution(
    "tonight",
    "Unattended running only where insurer and fire authority agree; alarms tested.",
    COMMON,
)

STOPPED = (
    Caution(
        "what has stopped",
        "Switch it off at the isolator and lock it off before anybody opens it; wait for the fans. "
        "No wet hands, no wet plugs. Do not touch a person being shocked until the power is off. "
        "Repairs: a licensed electrician.",
        "OSHA, Youth in Restaurants: Electrical",
    ),
    Caution(
        "part-dry food",
        "Time between 5 and 57 °C is counted: four hours in all, then ask the manager. Whether it "
        "may be dried on, a person decides.",
        "Delaware Food Code 3-501.19, 4 h (house limit, to be confirmed by the process authority)",
    ),
    Caution("alone", "Nobody works alone at night: ring before anything is moved.", COMMON),
)


def cautions_for(acts: Iterable[str], *, runs_tonight: bool) -> tuple[Caution, ...]:
    """The cautions of a day with those acts, the general ones first."""
    done = set(acts)
    at_work = tuple(caution for act, caution in AT_WORK.items() if act in done)
    return (*ALWAYS, *at_work, *((NIGHT,) if runs_tonight else ()))
