"""What a row holds, as a case; or why it holds none."""

import re

import msgspec

from faultnet.authoring.nearest import did_you_mean
from faultnet.learning.closed import ClosedCase, Confirmation, StepTaken
from faultnet.learning.source import SetAside
from faultnet.model.evidence import Answer, Evidence, Round, Taken

NOT_JSON = "not-json"
NOT_IN_FORM = "not-in-form"

FAULTS = (msgspec.DecodeError, UnicodeError, RecursionError)
"""What is raised for a row that holds no case."""

_FIELDS = tuple(
    name
    for each in (ClosedCase, Confirmation, StepTaken, Evidence, Round, Answer, Taken)
    for name in each.__struct_fields__
)
_UNKNOWN = re.compile(r"unknown field `([^`]*)`")
LONGEST = 1000
"""Letters that are shown of what a row holds."""


class _Named(msgspec.Struct):
    id: str = ""


def not_read(error: Exception, place: str, case: object = "") -> SetAside:
    """Return a row that holds no case as what is set aside; ``case`` is its id, if it has one."""
    name = printable(case) if isinstance(case, str) else ""
    if isinstance(error, msgspec.ValidationError):
        return SetAside(place, NOT_IN_FORM, _form(str(error)), name)
    if isinstance(error, RecursionError):
        return SetAside(place, NOT_JSON, "it nests too deep", name)
    told = "it is no text in UTF-8" if isinstance(error, UnicodeError) else printable(str(error))
    return SetAside(place, NOT_JSON, told, name)


def name_in(line: bytes) -> str:
    """Return the id in a line of JSON whose other fields may be wrong, or nothing."""
    try:
        return msgspec.json.decode(line, type=_Named).id
    except FAULTS:
        return ""


def printable(text: str) -> str:
    """Return the beginning of a text, with nothing in it that cannot be shown."""
    return "".join(c if c.isprintable() else "?" for c in text[:LONGEST])


def _form(message: str) -> str:
    """Return what is wrong with the form of a row, with what may have been meant."""
    found = _UNKNOWN.search(message)
    hint = did_you_mean(found[1], (f for f in _FIELDS if f != found[1])) if found else ""
    return " ".join(filter(None, (f"{printable(message)}.", hint)))
