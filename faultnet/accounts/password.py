"""Passwords: hashed with Argon2id, compared in the same time whether there is one or not."""

from functools import cache
from threading import BoundedSemaphore
from typing import TYPE_CHECKING

from faultnet.accounts.secret import drawn

if TYPE_CHECKING:
    from argon2 import PasswordHasher

SHORTEST = 15
"""Characters; where nothing else is asked for at log-in (NIST SP 800-63B-4, 3.1.1.2)."""

LONGEST = 200
"""Characters; longer ones would only keep the server busy."""

FEWEST = 5
"""Characters of a password that differ (judgement)."""

_AT_ONCE = BoundedSemaphore(2)
"""Each hash takes 64 MiB; many log-ins at once wait rather than fill the memory."""


def flaw(password: str, name: str) -> str:
    """Return why a password is not taken for an account of this name, or nothing."""
    if len(password) < SHORTEST:
        return f"has fewer than {SHORTEST} characters: take four or five words"
    if len(password) > LONGEST:
        return f"has more than {LONGEST} characters"
    if not password.isprintable():
        return "has characters that cannot be typed everywhere"
    if len(set(password)) < FEWEST:
        return f"has fewer than {FEWEST} different characters"
    if len(name) > 2 and name.casefold() in password.casefold():
        return "has the name of the account in it"
    return ""


def hashed(password: str) -> str:
    """Return the hash to keep, with its salt and its costs."""
    with _AT_ONCE:
        return _hasher().hash(password)


def agrees(kept: str | None, password: str) -> bool:
    """Whether a password is the one that was hashed.

    Where nothing is kept it takes as long and is False.
    """
    from argon2.exceptions import InvalidHashError, VerificationError

    with _AT_ONCE:
        try:
            right = _hasher().verify(kept or _nobodys(), password[: LONGEST + 1])
        except (VerificationError, InvalidHashError):
            return False
    return right and kept is not None


def is_weak(kept: str) -> bool:
    """Whether a hash was made with lower costs than are asked for by now."""
    return _hasher().check_needs_rehash(kept)


@cache
def _hasher() -> "PasswordHasher":
    """Return a hasher with the second choice of RFC 9106, section 4: 3 passes, 64 MiB, 4 lanes."""
    from argon2 import PasswordHasher, profiles

    return PasswordHasher.from_parameters(profiles.RFC_9106_LOW_MEMORY)


@cache
def _nobodys() -> str:
    """Return the hash of a password that nobody knows."""
    return _hasher().hash(drawn())
