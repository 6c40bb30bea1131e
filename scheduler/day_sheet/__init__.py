"""Plan and date to the one sheet that page, JSON, terminal and paper all show."""

from scheduler.day_sheet.build import day_sheet
from scheduler.day_sheet.sheet import DaySheet

__all__ = ["DaySheet", "day_sheet"]
