"""The entries of a case or a site, as the page hands them over."""

from collections.abc import Callable

import msgspec

from faultnet.cases.entry import STORED, Entry, flaws, is_site
from faultnet.pocket.talk.trouble import Trouble, TroubleError
from faultnet.shapes.unfit import unfit

NONE = msgspec.Raw(b"[]")
NEWER = "It is kept as it is. Bring the page up to date, or look at it at the office."
"""What helps with an entry that cannot be read: it is damaged, or of a newer faultnet."""

_LISTS = msgspec.json.Decoder(list[msgspec.Raw])
_WHOLE = msgspec.json.Decoder(tuple[Entry, ...])


class Log(msgspec.Struct, frozen=True):
    """The entries that can be read, in the order they came, and what is wrong with others."""

    entries: tuple[Entry, ...] = ()
    unread: tuple[Trouble, ...] = ()


def case_log(raw: msgspec.Raw, field: str = "$.entries") -> Log:
    """Return the entries of a case.

    Raises ``TroubleError`` where none of them can be read.
    """
    log = _log(raw, field, lambda entry: not is_site(entry.log))
    if not log.entries:
        first = log.unread[0] if log.unread else Trouble(field, "There are no entries.", "")
        raise TroubleError(first.place, first.reason, first.mend or "A case begins with one.")
    return log


def site_log(raw: msgspec.Raw, field: str = "$.site_entries") -> Log:
    """Return the entries of a site; none where there is none."""
    if bytes(raw) == b"null":
        return Log()
    return _log(raw, field, lambda entry: is_site(entry.log))


def _log(raw: msgspec.Raw, field: str, kind: Callable[[Entry], bool]) -> Log:
    try:
        read = dict(enumerate(_WHOLE.decode(raw)))
        wrong: dict[int, str] = {}
    except (msgspec.DecodeError, UnicodeError, RecursionError):
        read, wrong = _one_by_one(_apart(raw, field))
    log = next((entry.log for entry in read.values() if kind(entry)), "")
    wrong |= {n: f"It belongs to `{e.log[:80]}`." for n, e in read.items() if e.log != log}
    numbers = list(read)
    for place, told in flaws(read.values(), {}):
        wrong[numbers[place]] = f"{told[:1].upper()}{told[1:]}."
    unread = tuple(Trouble(f"{field}[{n}]", wrong[n], NEWER) for n in sorted(wrong))
    return Log(tuple(entry for n, entry in read.items() if n not in wrong), unread)


def _one_by_one(raws: list[msgspec.Raw]) -> tuple[dict[int, Entry], dict[int, str]]:
    """Return the entries that can be read by their number, and why others cannot be."""
    read: dict[int, Entry] = {}
    wrong: dict[int, str] = {}
    for number, each in enumerate(raws):
        try:
            read[number] = STORED.decode(each)
        except msgspec.ValidationError as error:
            reason, place = unfit(error)
            wrong[number] = f"{reason} {place.removeprefix('$')}".strip()
        except (msgspec.DecodeError, UnicodeError, RecursionError) as error:
            wrong[number] = f"It cannot be read: {error}."
    return read, wrong


def _apart(raw: msgspec.Raw, field: str) -> list[msgspec.Raw]:
    try:
        return _LISTS.decode(raw)
    except (msgspec.DecodeError, UnicodeError, RecursionError) as error:
        raise TroubleError(field, f"It is no list of entries: {error}.", NEWER) from None
