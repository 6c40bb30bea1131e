"""Goal A above all; then a little for what wastes least keeping time, spends least and is calm."""

from __future__ import annotations

from scheduler.model.parts import Build, Expression

SCALE = 40  # a rack is never given up for what comes after it


def add_objective(build: Build, *, tidy: bool = False) -> None:
    """Most prepared grams placed; ties go to early starts, few runs and few further tables."""
    worth: list[Expression] = []
    after: list[Expression] = []
    for charge in build.charges:
        lot = charge.lot
        if lot.parts:
            if charge.number == 0:
                worth.append(lot.prepared_g * charge.present)
        else:
            worth += [
                (lot.prepared_g * recipe.racks // lot.racks) * literal
                for recipe, literal in charge.options
            ]
        if not tidy:
            continue
        late = build.model.new_int_var(0, build.problem.horizon, "late")
        build.model.add(late >= charge.start - lot.arrives).only_enforce_if(charge.present)
        after.append(late)
    for slot in build.slots:
        if slot.kept is None and tidy:
            after.append(12 * slot.present)
    build.model.maximize(SCALE * sum(worth) - sum(after))
