"""What went wrong, as RFC 9457 has it."""

from __future__ import annotations

from pydantic import BaseModel, Field


class Fault(BaseModel):
    """One thing to mend in the request."""

    where: str
    message: str


class Problem(BaseModel):
    """application/problem+json; faults and changes are ours."""

    type: str = Field(description="which kind of problem, as a URI")
    title: str
    status: int
    detail: str
    instance: str = Field(description="the path that was asked for")
    faults: list[Fault] = []
    changes: list[str] = Field(
        default=[], description="what changed since what was named was laid out"
    )
