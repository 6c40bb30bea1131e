"""Plan files written, read and described: format "commonrack-plan", version 1."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from pydantic import Field

from scheduler.domain.asked import Asked
from scheduler.domain.plan import Plan
from scheduler.errors import BadInput, InputFault
from scheduler.plan_file.checked import Strict, checked
from scheduler.plan_file.fields import described
from scheduler.plan_file.strangers import plan_strangers, strangers
from scheduler.plan_file.values import plain, settled

Json = dict[str, Any]


@dataclass(frozen=True, slots=True)
class PlanFile:
    """What a plan file holds."""

    asked: Asked
    plan: Plan


class _AskedPart(Strict):
    asked: Asked


class _WholeFile(Strict):
    format: Literal["commonrack-plan"] = Field(description="what this file is")
    version: Literal[1] = Field(description="version of the format")
    scenario: str = Field(description="name of the scenario it was laid out for")
    asked: Asked = Field(description="the kitchen, cards, growers, notes and record it answers")
    plan: Plan = Field(description="the plan")


def plan_to_json(plan: Plan, asked: Asked) -> Json:
    """The whole plan file as JSON values: weights in grams, times with the kitchen's offset."""
    zone = asked.kitchen.zone
    return {
        "format": "commonrack-plan",
        "version": 1,
        "scenario": asked.name,
        "asked": plain(asked, zone),
        "plan": plain(plan, zone),
    }


def asked_to_json(asked: Asked) -> Json:
    """What was asked alone, as it stands under "asked" in a plan file."""
    return dict(plain(asked, asked.kitchen.zone))


def file_from_json(given: Mapping[str, object], file: str = "plan") -> PlanFile:
    """What a whole plan file holds; BadInput with every fault, each under its path in the file."""
    return _whole(json.dumps(given), file)


def plan_from_json(given: Mapping[str, object], file: str = "plan") -> Plan:
    """The plan of a whole plan file; BadInput as in file_from_json."""
    return file_from_json(given, file).plan


def asked_from_json(given: Mapping[str, object], file: str = "plan") -> Asked:
    """The inverse of asked_to_json; BadInput as in file_from_json."""
    part = checked(_AskedPart, json.dumps({"asked": given}), file)
    asked, faults = settled(part.asked, "asked", file)
    faults += strangers(asked, file)
    if faults:
        raise BadInput(tuple(faults))
    return asked


def write_plan(path: str | Path, plan: Plan, asked: Asked) -> None:
    """Write the plan file, whole or not at all."""
    path = Path(path)
    beside = path.with_name(f"{path.name}.part")
    text = json.dumps(plan_to_json(plan, asked), indent=1, ensure_ascii=False)
    beside.write_text(text + "\n", encoding="utf-8")
    beside.replace(path)


def read_plan(path: str | Path) -> PlanFile:
    """What a plan file holds; BadInput if it is not there, no plan file, or at fault."""
    path = Path(path)
    try:
        text = path.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        raise BadInput((InputFault(path.name, None, None, "the file is missing"),)) from None
    except UnicodeDecodeError:
        raise BadInput((InputFault(path.name, None, None, "is not UTF-8 text"),)) from None
    return _whole(text, path.name)


def plan_schema() -> Json:
    """The JSON Schema of a plan file, every field described."""
    schema = described(_WholeFile.model_json_schema())
    schema["title"] = "Commonrack plan file"
    return schema


def _whole(text: str, file: str) -> PlanFile:
    whole = checked(_WholeFile, text, file)
    asked, faults = settled(whole.asked, "asked", file)
    plan, more = settled(whole.plan, "plan", file)
    faults += [*more, *strangers(asked, file), *plan_strangers(plan, asked, file)]
    if whole.scenario != asked.name:
        faults.append(InputFault(file, None, "scenario", "is not the name under asked"))
    if faults:
        raise BadInput(tuple(faults))
    return PlanFile(asked, plan)
