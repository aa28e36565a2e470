"""What does not fit its shape: where, and why."""

import re

import msgspec

_AT = re.compile(r"(.*) - at `(.*)`", re.DOTALL)


def unfit(error: msgspec.ValidationError) -> tuple[str, str]:
    """Return the reason, and the place as a path from ``$``."""
    found = _AT.fullmatch(str(error))
    return (f"{found[1]}.", found[2]) if found else (f"{error}.", "$")
