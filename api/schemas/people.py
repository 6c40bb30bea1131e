"""People, log-ins and tokens as JSON. A password goes in and never out."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated

from pydantic import ConfigDict, Field

from api.records.people import Person, Role, Token, TokenKind
from api.schemas.body import Body, Id, Text, Wanted, Whole
from api.services.passwords import hashed
from api.services.people import NewPerson
from api.services.roles import Act
from api.services.tokens import Given

Password = Annotated[str, Field(min_length=1, max_length=200)]


class LogIn(Wanted):
    model_config = ConfigDict(
        json_schema_extra={"examples": [{"login": "lotte", "password": "warm racks, cool store"}]}
    )

    login: Id
    password: Password


class PasswordChange(Wanted):
    old: Password
    new: Password


class PersonWanted(Wanted):
    """Without a password she can only follow an invitation."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [
                {"login": "odile", "name": "Odile Farrant", "role": "grower", "grower_id": "G01"}
            ]
        }
    )

    login: Id
    name: Annotated[Text, Field(min_length=1)]
    role: Role
    grower_id: Id | None = None
    password: Password | None = None

    def new(self) -> NewPerson:
        """Slow where there is a password to hash."""
        secret = hashed(self.password) if self.password else None
        return NewPerson(self.login, self.name, self.role, self.grower_id, secret)


class PersonBody(Body):
    login: str
    name: str
    role: Role
    grower_id: str | None
    has_password: bool

    @classmethod
    def from_domain(cls, person: Person) -> PersonBody:
        return cls(
            login=person.id,
            name=person.name,
            role=person.role,
            grower_id=person.grower_id,
            has_password=person.password_hash is not None,
        )


class TokenWanted(Wanted):
    """acts narrows what it may be used for; empty means all that you may."""

    model_config = ConfigDict(
        json_schema_extra={"examples": [{"label": "tablet at the door", "acts": ["door"]}]}
    )

    label: Text = ""
    acts: list[Act] = Field(default=[], max_length=len(Act))
    days: Annotated[Whole, Field(ge=1, le=366)] = 90


class TokenBody(Body):
    id: str
    kind: TokenKind
    label: str
    acts: list[str]
    subject: str
    given_at: datetime
    ends_at: datetime | None

    @classmethod
    def from_domain(cls, token: Token) -> TokenBody:
        return cls(
            id=token.id,
            kind=token.kind,
            label=token.label,
            acts=list(token.acts),
            subject=token.subject,
            given_at=token.given_at,
            ends_at=token.ends_at,
        )


class GivenBody(Body):
    """The only sight of the secret: it is kept as a hash."""

    token: TokenBody
    secret: str
    link: str | None = Field(
        default=None, description="where it opens, below the kitchen's address"
    )

    @classmethod
    def from_domain(cls, given: Given, link: str | None = None) -> GivenBody:
        return cls(token=TokenBody.from_domain(given.token), secret=given.secret, link=link)
