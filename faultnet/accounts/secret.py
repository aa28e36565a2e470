"""Secrets that are drawn, handed out once, and kept as digests only."""

import hmac
import secrets
from hashlib import sha256

SIZE = 32
"""Bytes drawn at random: 256 bits, where 64 are asked for (OWASP Session Management)."""


def drawn() -> str:
    """Return a new secret as text that fits a cookie, a form and a header."""
    return secrets.token_urlsafe(SIZE)


def digest(text: str) -> str:
    """Return what is kept of a secret; drawn ones need no salt."""
    return sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def form_token(secret: str) -> str:
    """Return what the forms of a session carry; it cannot be worked out of what is kept."""
    return hmac.new(secret.encode(), b"faultnet form", sha256).hexdigest()


def is_form_token(secret: str, given: str) -> bool:
    """Whether this is the token of the forms of a session; takes the same time either way."""
    return hmac.compare_digest(form_token(secret).encode(), given.encode("utf-8", "surrogatepass"))
