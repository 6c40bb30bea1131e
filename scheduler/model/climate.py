"""Rule 6: what may share a run."""

from __future__ import annotations

from scheduler.model.parts import Build, Slot


def add_climate(build: Build) -> None:
    """Rule 6: one group, one set point, and drying as long as the longest charge."""
    model = build.model
    for slot in build.slots:
        for drying, literal in slot.dryings.items():
            if slot.kept is None:
                model.add_bool_or(
                    [inside for charge, inside in slot.charges if charge.lot.drying == drying]
                    + [~literal]
                )
        for charge, inside in slot.charges:
            if slot.kept is None:
                model.add_implication(inside, slot.groups[charge.lot.group])
                longer = [
                    lit for drying, lit in slot.dryings.items() if drying >= charge.lot.drying
                ]
                model.add(sum(longer) >= inside)
        _apart(build, slot)


def _apart(build: Build, slot: Slot) -> None:
    """Charges whose set points do not meet, or of the same lot, keep apart."""
    own = slot.charges
    for place, (one, in_one) in enumerate(own):
        for other, in_other in own[place + 1 :]:
            if one.lot.group != other.lot.group:
                continue
            cool, hot = (
                max(one.lot.coolest, other.lot.coolest),
                min(one.lot.hottest, other.lot.hottest),
            )
            if cool > hot or one.lot.index == other.lot.index:
                build.model.add_bool_or([~in_one, ~in_other])
