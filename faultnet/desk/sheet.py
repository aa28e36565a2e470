"""The call sheet: its fields, which are asked and when, and what has been told of each.

Name, call-back and address belong to the site; everything else stays with the case. The
fields are those that a dispatcher fills in on paper (common practice).
"""

import msgspec

from faultnet.cases.events import AnyEvent, CallTold, Named, Opened
from faultnet.desk.complaint import WORDS
from faultnet.reckon.units import PLAIN, UnfitNumberError, converted, parts, quantity
from faultnet.visit.call_sheet import NEED, REACH, needs_said
from faultnet.visit.progress import Progress
from faultnet.visit.talk import Talk
from faultnet.visit.turn import ENTER, KEYS, Line, Reply, Turn, Typed

NAME, CALL_BACK, ADDRESS = "name", "call-back", "address"
PEOPLE, WATER, DRIVE = "people", "water", "drive"

LONGEST = 500
"""Characters of a field."""


class Field(msgspec.Struct, frozen=True):
    """A field of the call sheet.

    ``asked`` says that it is asked before the outcome; ``unit`` that a number is wanted, and
    ``most`` the greatest that can be.
    """

    id: str
    title: str
    prompt: str
    asked: bool = False
    unit: str = ""
    most: float = 0.0


FIELDS = (
    Field(NAME, "Name", "Who is calling?", asked=True),
    Field(CALL_BACK, "Call-back", "Under which number can they be called back?", asked=True),
    Field(ADDRESS, "Address", "Where does the pump stand?", asked=True),
    Field(
        "access",
        "Access",
        "How does one get to the pump? Gate, dog, key, snow, steep road, pit, crawl space, light.",
        asked=True,
    ),
    Field("home", "At home", "Who is at home, and when? A grown-up who may say yes to the price?"),
    Field("language", "Language", "Which language is spoken there?"),
    Field("owner", "Owner", "Owner or tenant? Who pays?"),
    Field(WORDS, "Complaint", "What is wrong, in their own words?"),
    Field("since", "Since", "Since when, and did it come all at once?"),
    Field(
        "change", "Just before", "What was done or happened just before? Delivery: date, gallons."
    ),
    Field("last-work", "Last work", "Who worked on it last, when, on what?"),
    Field(NEED, "Needs water", "Who needs water most?"),
    Field(REACH, "At the pump", "Can they get to the pump now?"),
    Field("stored", "Stored water", "How much water is stored, and how long can they wait?"),
    Field(PEOPLE, "People", "How many people use the water?", asked=True, unit="number", most=1e4),
    Field(
        WATER,
        "Water left",
        "Gallons left in the cistern, as far as known?",
        asked=True,
        unit="gal",
        most=1e6,
    ),
    Field(DRIVE, "Drive", "How many minutes is the drive?", asked=True, unit="min", most=1440.0),
    Field("contract", "Contract", "Warranty or contract?"),
    Field("limit", "Limit", "Is there a limit to what it may cost?"),
    Field("price-told", "Price told", "Was the price of trip and first hour told, and agreed to?"),
)
"""The call sheet, in the order in which it is read."""

BY_ID = {field.id: field for field in FIELDS}
OF_SITE = (NAME, CALL_BACK, ADDRESS)
"""The fields that are kept with the site."""

_KEYS = "".join(key for key in KEYS if key != "b")


def asked(talk: Talk, at: Progress) -> Turn | None:
    """Return the next field that is asked before the outcome."""
    left = open_fields(talk, at)
    return field_turn(at, left[0].id) if left else None


def field_turn(at: Progress, name: str, unfit: str = "") -> Turn:
    """Return the turn that asks for one field; ``unfit`` says what was wrong."""
    field = BY_ID[name]
    before = at.call_sheet.get(name, "")
    body = [Line("say", f"So far: {before}")] if before else []
    body += [Line("caution", unfit)] if unfit else []
    body.append(Line("note", f"Enter alone {'leaves it so' if before else 'leaves it open'}."))
    typed = Typed(f"call-sheet:{name}", f"{field.title}:")
    return Turn("field", "Call sheet", field.prompt, tuple(body), typed=typed)


def typed(at: Progress, name: str, text: str) -> AnyEvent | Turn:
    """Return what a typed field leads to: an event, or the turn again where it is unfit."""
    text = " ".join(text.split()) or at.call_sheet.get(name, "")
    if len(text) > LONGEST:
        return field_turn(at, name, f"{LONGEST} characters at most.")
    field = BY_ID[name]
    if text and field.unit:
        try:
            text = _number(field, text)
        except UnfitNumberError as error:
            return field_turn(at, name, str(error))
    if not text or name not in OF_SITE:
        return CallTold(name, text)
    return Named(**{"contact" if name == CALL_BACK else name: text})


def number(at: Progress, name: str) -> float | None:
    """Return a field that is a number, in its unit; None where it is not known."""
    text = at.call_sheet.get(name, "")
    try:
        return quantity(text, BY_ID[name].unit) if text else None
    except UnfitNumberError:
        return None


def sheet_turn(at: Progress, start: int = 0) -> Turn:
    """Return the call sheet, to fill in any field of it."""
    replies = [
        Reply(key, _filled(at, field), view=f"field:{field.id}")
        for key, field in zip(_KEYS, FIELDS[start:], strict=False)
    ]
    if len(replies) < len(FIELDS) - start:
        replies.append(Reply("m", "more", view=f"call-sheet:{start + len(replies)}"))
    back = Reply(ENTER, "back to the call", view="back")
    return Turn("sheet", "Call sheet", "Which field?", (), (*replies, back))


def told(at: Progress) -> dict[str, str]:
    """Return the fields that have been told, in order, as they are read."""
    return {f.id: _said(at, f.id) for f in FIELDS if at.call_sheet.get(f.id)}


def _filled(at: Progress, field: Field) -> str:
    text = _said(at, field.id)
    return f"{field.title}: {text}" if text else f"{field.title}: -"


def _said(at: Progress, name: str) -> str:
    text = at.call_sheet.get(name, "")
    return needs_said(text) if name == NEED else text


def _number(field: Field, text: str) -> str:
    if field.unit == PLAIN and not text.replace(".", "", 1).isdecimal():
        raise UnfitNumberError("Write a plain number, such as 4.")
    number, unit = parts(text, f"Write a number and its unit, such as 10 {field.unit}.")
    value = converted(number, unit or field.unit, field.unit)
    if not 0.0 <= value <= field.most:
        raise UnfitNumberError(f"From 0 to {field.most:g} {field.unit}.")
    return f"{value:g}" if field.unit == PLAIN else f"{value:g} {field.unit}"


def _wanted(talk: Talk, at: Progress, field: Field) -> bool:
    """Whether a field is worth asking: the site is known by then, or has no cistern."""
    if field.id in OF_SITE:
        return not at.case.site or _made_here(at)
    if field.id in {PEOPLE, WATER}:
        return talk.fits(at, {"source": ("cistern-hauled", "cistern-rain")})
    return True


def _made_here(at: Progress) -> bool:
    """Whether the site was made of what this call told, so that the rest of it is still open."""
    events = [each.entry.event for each in at.case.entries]
    known = any(isinstance(each, Opened) and each.site for each in events)
    return not known and any(field in at.call_sheet for field in OF_SITE)


def open_fields(talk: Talk, at: Progress) -> tuple[Field, ...]:
    """Return the fields that are still to be asked before the outcome."""
    return tuple(
        field
        for field in FIELDS
        if field.asked and field.id not in at.call_sheet and _wanted(talk, at, field)
    )
