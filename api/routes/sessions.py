"""/api/v1/sessions and /api/v1/me: logging in and out, following an invitation, own tokens."""

from __future__ import annotations

from datetime import timedelta

from fastapi import APIRouter, Request

from api.records.people import Person
from api.routes.inside import COOKIE_KEY, AtDesk, Desk, must_be_same_origin
from api.routes.problems import problems
from api.schemas.body import Id, Secret
from api.schemas.people import (
    GivenBody,
    LogIn,
    PasswordChange,
    PersonBody,
    TokenBody,
    TokenWanted,
)
from api.services import people, tokens
from api.services.errors import NotAllowed
from api.services.roles import Act, must

router = APIRouter(prefix="/api/v1", tags=["Log-in"])


@router.post(
    "/sessions",
    operation_id="log_in",
    summary="Log in",
    status_code=204,
    responses=problems(429),
)
def log_in(request: Request, wanted: LogIn) -> None:
    """A session in a cookie, for half a day. Five tries a minute for a name from one address."""
    if "origin" in request.headers:
        must_be_same_origin(request)
    enter(request, wanted.login, wanted.password)


def enter(request: Request, login: str, password: str) -> None:
    """The log-in itself; TooOften, NotKnown."""
    state = request.app.state
    _count(request, login)
    with state.shelf.reading() as book:
        found = people.named(book, login)
    found = people.proved(found, password)
    with state.shelf.writing() as book:
        given = people.log_in(book, found, state.clock())
    request.session[COOKIE_KEY] = given.secret


def _count(request: Request, login: str) -> None:
    """One more try at a password; TooOften."""
    address = request.client.host if request.client else ""
    request.app.state.throttle.count(login, address)


@router.delete(
    "/sessions/own",
    operation_id="log_out",
    summary="Log out",
    status_code=204,
    responses=problems(),
)
def log_out(desk: AtDesk, request: Request) -> None:
    """The session ends here and in the book."""
    go_out(desk, request)


def go_out(desk: Desk, request: Request) -> None:
    """The log-out itself; an invitation is only forgotten here, the link still holds."""
    with desk.writing() as (book, doing):
        token = tokens.opened(book, desk.shown, desk.kinds, doing.at)
        if token.kind == "session":
            tokens.revoke(book, doing, token.id)
    request.session.clear()


@router.get(
    "/invited/{secret}",
    operation_id="follow_invitation",
    summary="Follow an invitation",
    responses=problems(),
)
def follow_invitation(request: Request, secret: Secret) -> PersonBody:
    """Opens a grower's own pages, without a password, as long as the link holds."""
    return PersonBody.from_domain(follow(request, secret))


def follow(request: Request, secret: str) -> Person:
    """Who is invited; NotKnown."""
    state = request.app.state
    with state.shelf.reading() as book:
        doing = tokens.known(book, secret, ("invitation",), state.clock())
    request.session[COOKIE_KEY] = secret
    return doing.person


@router.get("/me", operation_id="me", summary="Who am I", responses=problems())
def me(desk: AtDesk) -> PersonBody:
    with desk.reading() as (_, doing):
        return PersonBody.from_domain(doing.person)


@router.put(
    "/me/password",
    operation_id="set_password",
    summary="A new password",
    status_code=204,
    responses=problems(429),
)
def set_password(desk: AtDesk, request: Request, wanted: PasswordChange) -> None:
    """Every session ends with the old one. As many tries as to log in."""
    with desk.reading() as (_, doing):
        was = doing.person.password_hash
    _count(request, doing.person.id)
    password_hash = people.new_hash(doing, wanted.old, wanted.new)
    with desk.writing() as (book, doing):
        people.set_password(book, doing, was=was, password_hash=password_hash)


@router.get("/tokens", operation_id="tokens", summary="Own tokens", responses=problems())
def own_tokens(desk: AtDesk) -> list[TokenBody]:
    with desk.reading() as (book, doing):
        return [TokenBody.from_domain(each) for each in tokens.own_tokens(book, doing)]


@router.post(
    "/tokens",
    operation_id="new_token",
    summary="A new API token",
    status_code=201,
    responses=problems(),
)
def new_token(desk: AtDesk, wanted: TokenWanted) -> GivenBody:
    """Shown once."""
    acts = tuple(str(act) for act in wanted.acts)
    lasts = timedelta(days=wanted.days)
    with desk.writing() as (book, doing):
        must(doing, Act.OWN_TOKENS)
        if doing.acts:
            raise NotAllowed("a narrowed token cannot make others; log in")
        asked = tokens.Wanted("api", acts, wanted.label, lasts)
        return GivenBody.from_domain(tokens.give(book, doing.person, asked, doing.at))


@router.delete(
    "/tokens/{token_id}",
    operation_id="revoke_token",
    summary="Revoke a token",
    status_code=204,
    responses=problems(404),
)
def revoke_token(desk: AtDesk, token_id: Id) -> None:
    with desk.writing() as (book, doing):
        tokens.revoke(book, doing, token_id)
