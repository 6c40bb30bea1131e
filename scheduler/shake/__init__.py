"""How often a plan holds: replayed many times with hours, weights and arrivals that are not as
planned. It says nothing of food safety: at every dry check a person decides."""

from scheduler.shake.replay import BUFFER_S, HOLDS_S, Buffer, Held, Shaken, shaken
from scheduler.shake.spread import SPREAD, Spread

__all__ = ["BUFFER_S", "HOLDS_S", "SPREAD", "Buffer", "Held", "Shaken", "Spread", "shaken"]
