"""Did you mean: the nearest known name to one that is not known."""

import difflib
from collections.abc import Iterable


def did_you_mean(name: str, known: Iterable[str]) -> str:
    """Return `Did you mean `x`?`, or the few known names, or nothing."""
    names = sorted(set(known))
    close = difflib.get_close_matches(name[:80], names, n=1, cutoff=0.6)
    if close:
        return f"Did you mean `{close[0]}`?"
    if 0 < len(names) <= 10:
        return f"Known here: {', '.join(names)}."
    return ""
