"""Entries without what tells of the customer; what was found and done stays for learning."""

from msgspec.structs import replace

from faultnet.cases import events as e
from faultnet.cases.entry import Entry


def anonymous(entry: Entry) -> Entry:
    """Return an entry without names, free texts, pictures and the site."""
    return replace(entry, event=_without(entry.event))


def customer_text(event: e.Event) -> str:
    """Return the free text of an event, for searching; nothing where it has none."""
    fields = _OF_CUSTOMER.get(type(event), ())
    return " ".join(filter(None, (getattr(event, field) for field in fields if field != "site")))


_OF_CUSTOMER: dict[type[e.Event], tuple[str, ...]] = {
    e.Opened: ("site",),
    e.AtSite: ("site",),
    e.Note: ("text",),
    e.RoundBegun: ("text",),
    e.CallTold: ("text",),
    e.Suspected: ("text",),
    e.Confirmed: ("text",),
    e.StepSkipped: ("text",),
    e.Tried: ("text",),
    e.Agreed: ("name",),
    e.Photo: ("reference", "text"),
    e.Named: ("name", "address", "contact", "speaker"),
    e.Fitted: ("serial", "text"),
    e.Disinfected: ("product",),
    e.SafetyFinding: ("text",),
    e.Watch: ("text",),
    e.NextDue: ("text",),
    e.Signed: ("name",),
}
"""The fields that tell of the customer; all of them are texts."""


def _without(event: e.AnyEvent) -> e.AnyEvent:
    return replace(event, **dict.fromkeys(_OF_CUSTOMER.get(type(event), ()), ""))
