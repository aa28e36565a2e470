"""A line of the closing sheet in words."""

from faultnet.cases import events as e
from faultnet.cases.event import Event
from faultnet.model.in_words import plain
from faultnet.reckon.answer import rounded

DECLINED = "the customer declined to have it mended"

_KINDS: dict[type[Event], str] = {
    e.Fitted: "fitted",
    e.Disinfected: "disinfected",
    e.SafetyFinding: "unsafe",
    e.Watch: "to watch",
    e.NextDue: "due",
    e.Licence: "licence",
    e.Signed: "signed",
}
_NAMING: dict[type[Event], tuple[str, str]] = {
    e.Watch: ("To watch", "text"),
    e.Licence: ("Licence", "licence"),
}


def kind_of(event: Event) -> str:
    """Return the kind of a line in a word or two."""
    return _KINDS[type(event)]


def line_said(event: Event) -> str:
    """Return a line of the sheet in words; nothing for other events."""
    match event:
        case e.Fitted():
            return _fitted(event)
        case e.Disinfected(product, dose, minutes, sampled):
            told = (product, dose, contact_said(minutes), "sample taken" if sampled else "")
            return f"Disinfected: {', '.join(filter(None, told))}"
        case e.SafetyFinding(text, declined):
            return f"Unsafe: {text}{f'; {DECLINED}' if declined else ''}"
        case e.NextDue(text, date):
            return f"Due {date}: {text}"
        case e.Signed(name, role):
            return f"Signed: {name} ({role})"
    word, field = _NAMING.get(type(event), ("", ""))
    return f"{word}: {getattr(event, field)}" if word else ""


def _fitted(event: e.Fitted) -> str:
    many = f"{event.number} x " if event.number > 1 else ""
    serial = f", serial number {event.serial}" if event.serial else ""
    return f"Fitted: {many}{part_said(event)}{serial}"


def part_said(event: e.Fitted) -> str:
    """Return the name of a part that was fitted."""
    return event.text or plain(event.part)


def contact_said(minutes: float) -> str:
    """Return a time of contact in words; nothing where there is none."""
    if not minutes:
        return ""
    long = minutes >= 120.0
    return f"{rounded(minutes / 60.0)} h of contact" if long else f"{minutes:g} min of contact"
