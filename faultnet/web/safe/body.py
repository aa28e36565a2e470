"""The body of a request: read once, within limits, and handed on."""

import asyncio

from starlette.types import Message, Receive

LARGEST = 64 * 1024
"""Bytes of a body; the longest form is a note of some pages."""

PATIENCE = 30.0
"""Seconds within which a body must have come."""

KINDS = ("application/x-www-form-urlencoded", "application/json")
"""What a body may be: a form or JSON. Files are not taken."""


async def whole(receive: Receive) -> bytes | None:
    """Return the body of a request, or None where it is too large.

    Raises ``TimeoutError`` where it does not come.
    """
    parts = bytearray()
    async with asyncio.timeout(PATIENCE):
        while True:
            message = await receive()
            parts += message.get("body", b"")
            if len(parts) > LARGEST:
                return None
            if not message.get("more_body"):
                return bytes(parts)


def again(body: bytes, receive: Receive) -> Receive:
    """Return what hands on a body that has been read; after it comes what comes."""
    left: list[Message] = [{"type": "http.request", "body": body, "more_body": False}]

    async def handed() -> Message:
        return left.pop() if left else await receive()

    return handed


def kind_of(content_type: str) -> str:
    """Return the kind of a body without its further fields."""
    return content_type.partition(";")[0].strip().lower()
