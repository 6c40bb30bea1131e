"""The plan file: a plan and all it was made from, as JSON that can be laid out or checked again."""

from scheduler.plan_file.checked import value_from_json, value_to_json
from scheduler.plan_file.file import (
    PlanFile,
    asked_from_json,
    asked_to_json,
    file_from_json,
    plan_from_json,
    plan_schema,
    plan_to_json,
    read_plan,
    write_plan,
)

__all__ = [
    "PlanFile",
    "asked_from_json",
    "asked_to_json",
    "file_from_json",
    "plan_from_json",
    "plan_schema",
    "plan_to_json",
    "read_plan",
    "value_from_json",
    "value_to_json",
    "write_plan",
]
