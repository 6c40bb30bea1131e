"""When something was pressed: just now, at a time of day that was told, or while cut off."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from web.pages.posted import Taken, latest

LONGEST = timedelta(days=2)  # older, and the clock of the device is not to be trusted: demo


def when(taken: Taken, now: datetime) -> datetime:
    """The field "at", a time of day by the kitchen's clock, is the last such time before it was
    pressed; "pressed", an instant by the clock of the device, is when that was, if not just now."""
    pressed = _pressed(taken.said.get("pressed", ""), now)
    if not taken.said.get("at"):
        return pressed
    local = pressed.astimezone(taken.reading.zone or UTC)
    clock = taken.clock("at")
    at = latest(datetime.combine(local.date(), clock, local.tzinfo), until=pressed)
    if at > pressed:
        yesterday = local.date() - timedelta(days=1)
        at = latest(datetime.combine(yesterday, clock, local.tzinfo), until=pressed)
    return at


def _pressed(text: str, now: datetime) -> datetime:
    try:
        found = datetime.fromisoformat(text)
    except ValueError:
        return now
    trusted = found.tzinfo is not None and now - LONGEST <= found <= now
    return found.astimezone(UTC) if trusted else now
