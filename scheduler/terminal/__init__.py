"""The week and the day sheet as text, for a terminal of a hundred columns."""

from scheduler.terminal.mending import emergency_text, mend_text
from scheduler.terminal.progress import progress_line
from scheduler.terminal.sheet import sheet_text
from scheduler.terminal.week import week_text

__all__ = ["emergency_text", "mend_text", "progress_line", "sheet_text", "week_text"]
