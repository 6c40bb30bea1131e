"""Passwords: hashed with argon2, and checked in the same time whether there is one or not."""

from __future__ import annotations

from pwdlib import PasswordHash
from pwdlib.hashers.argon2 import Argon2Hasher

from scheduler.errors import BadInput, InputFault

LEAST_CHARACTERS = 10  # NIST SP 800-63B, revision 3, asks for 8 (from memory); two more
MOST_CHARACTERS = 200
_argon2 = PasswordHash((Argon2Hasher(),))
_NOBODYS = _argon2.hash("nobody's password")


def hashed(password: str) -> str:
    """BadInput if it is too short to be worth hashing, or too long to be meant."""
    if not LEAST_CHARACTERS <= len(password) <= MOST_CHARACTERS:
        message = f"must have {LEAST_CHARACTERS} to {MOST_CHARACTERS} characters"
        raise BadInput((InputFault("password", None, None, message),))
    return _argon2.hash(password)


def fits(password: str, password_hash: str | None) -> bool:
    """Whether it is that password; where there is none, as slowly as where there is one."""
    known = _argon2.verify(password, password_hash or _NOBODYS)
    return known and password_hash is not None
