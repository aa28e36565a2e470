"""A shape as plain values, as JSON has them."""

from typing import Any

import msgspec

Json = dict[str, Any]


def plain(shape: msgspec.Struct) -> Json:
    """Return a shape as plain values, its fields in their order."""
    told: Json = msgspec.to_builtins(shape, enc_hook=number)
    return told


def text(shape: object) -> str:
    """Return a shape, or plain values, as JSON on one line."""
    return msgspec.json.encode(shape, enc_hook=number).decode()


def number(value: object) -> float:
    """Return a number of NumPy as a plain one."""
    if isinstance(value, float):
        return float(value)
    raise TypeError(f"a shape holds no {type(value).__name__}")
