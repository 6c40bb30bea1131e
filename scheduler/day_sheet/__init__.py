"""Plan and date to the one sheet that page, JSON, terminal and paper all show."""

from scheduler.day_sheet.beside import with_left_over
from scheduler.day_sheet.build import day_sheet
from scheduler.day_sheet.sheet import DaySheet

__all__ = ["DaySheet", "day_sheet", "with_left_over"]
