"""What drifts, in words."""

import math
from calendar import month_name

from faultnet.learning.drift.drift import Drift, Drifts
from faultnet.learning.drift.recent import Recent


def said(drift: Drift) -> str:
    """Return what one cause does, with figures, and what may be done about it."""
    head = _trend(drift) if drift.kind == "trend" else _season(drift)
    seen = f"seen in {drift.cases:.4g} cases; by chance once in {_once(drift.p)}"
    return f"{head} ({_from_to(drift)}; {seen}). {_what_then(drift)}"


def summary(drifts: Drifts) -> list[str]:
    """Return what was looked at and how sure it is, then each drift in words."""
    months = "one month" if drifts.months == 1 else f"{drifts.months} months"
    looked = f"{drifts.cases} cases over {months}, {drifts.tests} tests. "
    if not drifts.tests:
        return [f"{looked}Too few cases or months to look for a drift."]
    if not drifts.found:
        return [f"{looked}Nothing drifts beyond chance.", _fades(drifts.recent)]
    share = f"Of what follows, one in {1 / drifts.false_alarms:.3g} may be chance."
    return [f"{looked}{share}", *map(said, drifts.found), _fades(drifts.recent)]


def _trend(drift: Drift) -> str:
    way = "commoner" if drift.factor > 1.0 else "rarer"
    change = abs(drift.factor - 1.0)
    return f"{drift.title}: {way} by {change:.0%} a year"


def _season(drift: Drift) -> str:
    month = month_name[drift.month]
    return f"{drift.title}: {drift.factor:.2g} times as common in {month} as over the year"


def _from_to(drift: Drift) -> str:
    return f"times {drift.low:.2f} to {drift.high:.2f}"


def _once(chance: float) -> str:
    if chance <= 1e-6:
        return "a million times or more"
    return f"{round(1 / chance, 1 - int(math.log10(1 / chance))):,.0f} times"


def _what_then(drift: Drift) -> str:
    if drift.explained_by:
        names = " and ".join(drift.explained_by)
        told = f"The files know why: {names}. With what was told of it, times {drift.left:.2f}"
        return f"{told} is left. Nothing to change."
    if drift.kind == "trend":
        return "Let recent cases count for more."
    if drift.goes_with:
        names = " or ".join(drift.goes_with)
        return f"{names} keeps time with it: look whether it belongs under `likelier-when`."
    return "No circumstance in the files keeps time with it: one may be missing."


def _fades(recent: Recent) -> str:
    if math.isinf(recent.half_life):
        return "Old cases tell as well as recent ones: all count the same."
    return (
        f"Recent cases tell better: let a case count half after {recent.half_life:g} "
        f"year{'' if recent.half_life == 1.0 else 's'} (gain {recent.gain:.1f} in the log)."
    )
