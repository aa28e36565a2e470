"""When a case was opened and closed: in UTC, in this order, and at a time that can be."""

import datetime as dt

from msgspec.structs import replace

from faultnet.learning.closed import ClosedCase
from faultnet.learning.fit.unfit import UnfitError

EARLIEST = dt.datetime(1990, 1, 1, tzinfo=dt.UTC)
"""Before it no case was written down like this: a clock stood wrong (judgement)."""

AHEAD = dt.timedelta(days=1)
"""How far a clock may be ahead of ours (judgement)."""


def in_utc(case: ClosedCase, now: str) -> ClosedCase:
    """Return a case with its times in UTC; raise ``UnfitError`` for times that cannot be.

    ``now`` is the time until which cases are read, as ISO 8601.
    """
    opened, closed = _moment("opened", case.opened), _moment("closed", case.closed)
    latest = dt.datetime.fromisoformat(now) + AHEAD
    if opened < EARLIEST:
        raise UnfitError("too-early", f"it was opened before {EARLIEST.year}: {case.opened}")
    if closed > latest or opened > latest:
        raise UnfitError("in-future", f"it is of a day to come: {max(case.opened, case.closed)}")
    if closed < opened:
        reason = f"it was closed ({case.closed}) before it was opened ({case.opened})"
        raise UnfitError("closed-first", reason)
    return replace(case, opened=_text(opened), closed=_text(closed))


def _moment(field: str, text: str) -> dt.datetime:
    try:
        moment = dt.datetime.fromisoformat(text)
        if moment.tzinfo is not None:
            return moment.astimezone(dt.UTC)
    except (ValueError, OverflowError):
        reason = f"`{field}` is no time: `{text[:40]}`. Write it as 2026-03-04T07:31:05Z"
        raise UnfitError("no-time", reason) from None
    reason = f"`{field}` has no time zone: {text[:40]}. Add Z for UTC, or an offset"
    raise UnfitError("no-time-zone", reason)


def _text(moment: dt.datetime) -> str:
    return f"{moment.replace(tzinfo=None).isoformat(timespec='milliseconds')}Z"
